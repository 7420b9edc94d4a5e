"""What a draft leaves for its author to write; a published route may not still say it."""

SUMMARY = "Drafted from a ride and a map: say here in a sentence what the way is like."
AREA = "Area to be named"
