if [ -z "${EXTRACT_URL:-}" ]; then
  echo "EXTRACT_URL is not set: maps are drawn on a plain ground."
else
  mkdir -p maps
  # fetched only if it is newer than the one kept; that one will do while its host is away
  curl --fail --silent --show-error --location --retry 3 --remote-time \
    --time-cond maps/town.osm.pbf --output maps/new.osm.pbf "$EXTRACT_URL" \
    || { rm -f maps/new.osm.pbf; test -s maps/town.osm.pbf; }
  if [ -s maps/new.osm.pbf ]; then mv maps/new.osm.pbf maps/town.osm.pbf; fi
fi
