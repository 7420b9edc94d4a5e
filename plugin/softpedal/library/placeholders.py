"""What a draft leaves for its author to write; a published route may not still say it."""

SUMMARY = "Drafted from a ride and a map: say here in a sentence what the way is like."
AREA = "Area to be named"
#: The street of a leg, where no map tells it.
STREET = "Street to be named"
#: The road of a crossing that was only spoken of.
ROAD = "Road to be named"
#: What a landmark begins with where a button was pressed on the ride.
TO_FILL_IN = "To be filled in"
#: The title, where neither end has a name.
TITLE = "A route to be named"
#: An end of which nothing has a name.
END = "A place to be named"
#: What a later draft may put a name in for.
PLACEHOLDERS = frozenset([SUMMARY, AREA, STREET, ROAD, TITLE, END])
