// Pavements on a map without tiles: points from our own address, close ones drawn as one.
// Leaflet (L) and Supercluster come from static/vendor before this module runs.

const { L, Supercluster } = window;
const WORDS = {
  working: "working", watch: "watch", clean: "clean", restore: "restore",
  not_working: "not working", not_decided: "not decided", "": "condition not shown",
};
const STEPS = [0.0005, 0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 30];
const APART_PX = 110;
const NAME_PX = 80; // a name nearer to the right edge would be cut
const MOST_ZOOM = 19;

for (const ground of document.querySelectorAll("[data-map]")) start(ground);

async function start(ground) {
  const status = ground.parentElement.querySelector("[data-map-status]");
  status.textContent = "Fetching positions.";
  const answer = await fetch(ground.dataset.points, { headers: { Accept: "application/json" } })
    .catch(() => null);
  if (!answer || !answer.ok) {
    status.textContent = "The positions could not be fetched. The list has the same pavements.";
    return;
  }
  const { rows, without_position: without } = await answer.json();
  const lacking = without ? ` ${without} without a position ${without === 1 ? "is" : "are"} only in the list.` : "";
  status.textContent = rows.length
    ? `${rows.length} on the map.${lacking}`
    : "None of these pavements has a position yet: write down its longitude and latitude.";
  draw(ground, rows);
}

function draw(ground, rows) {
  const map = L.map(ground, { attributionControl: false, maxZoom: MOST_ZOOM, zoomAnimation: false });
  L.control.scale({ maxWidth: 110, position: "topright" }).addTo(map);
  const lines = L.layerGroup().addTo(map);
  const marks = L.layerGroup().addTo(map);
  const index = new Supercluster({ radius: 72, extent: 256, maxZoom: MOST_ZOOM - 1 }).load(rows.map(toFeature));
  map.on("moveend", () => {
    drawLines(map, lines);
    drawMarks(map, marks, index, ground.dataset);
  });
  if (rows.length === 0) map.setView([0, 0], 2);
  else map.fitBounds(L.latLngBounds(rows.map((row) => [row[2], row[1]])).pad(0.1), { maxZoom: 17 });
}

function toFeature([id, lon, lat, word, name]) {
  return {
    type: "Feature",
    properties: { id, word, name },
    geometry: { type: "Point", coordinates: [lon, lat] },
  };
}

function drawMarks(map, layer, index, { page, marks }) {
  const seen = map.getBounds().pad(0.2);
  const box = [
    Math.max(seen.getWest(), -180), Math.max(seen.getSouth(), -85),
    Math.min(seen.getEast(), 180), Math.min(seen.getNorth(), 85),
  ];
  layer.clearLayers();
  for (const found of index.getClusters(box, Math.round(map.getZoom()))) {
    const [lon, lat] = found.geometry.coordinates;
    const mark = found.properties.cluster ? many(map, index, found) : one(found, page, marks);
    mark.setLatLng([lat, lon]).addTo(layer);
  }
}

function many(map, index, found) {
  const count = found.properties.point_count;
  const mark = marker("map-many", `<span>${Number(count)}</span>`, `${count} pavements; press to come closer`);
  const comeCloser = () => {
    map.setView(mark.getLatLng(), Math.min(index.getClusterExpansionZoom(found.id), MOST_ZOOM));
    map.getContainer().focus();
  };
  return pressedBy(mark, comeCloser).on("click", comeCloser);
}

function one(found, page, marks) {
  const { id, word, name } = found.properties;
  const known = Object.hasOwn(WORDS, word) && word !== "";
  const inner = known
    ? `<svg aria-hidden="true"><use href="${marks}#${word}"></use></svg>`
    : "<span></span>";
  const said = WORDS[word] ?? WORDS[""];
  const mark = marker("map-point", inner, `${name}, ${said}`);
  const popup = document.createElement("div");
  const link = document.createElement("a");
  link.href = page.replace("/0/", `/${id}/`);
  link.textContent = name;
  const line = document.createElement("p");
  line.textContent = said;
  popup.append(link, line);
  // Focus goes into what opened, so that the link is one press away by keyboard too.
  mark.bindPopup(popup).on("popupopen", () => link.focus());
  return pressedBy(mark, () => mark.openPopup());
}

function marker(className, html, name) {
  const icon = L.divIcon({ className, html, iconSize: [44, 44] });
  const mark = L.marker([0, 0], { icon, keyboard: true });
  return mark.on("add", () => mark.getElement().setAttribute("aria-label", name));
}

// Leaflet gives its marks the role of a button, but not the keys of one.
function pressedBy(mark, act) {
  return mark.on("keydown", ({ originalEvent }) => {
    if (originalEvent.key !== "Enter" && originalEvent.key !== " ") return;
    originalEvent.preventDefault();
    act();
  });
}

function drawLines(map, layer) {
  const seen = map.getBounds();
  layer.clearLayers();
  const wide = seen.getEast() - seen.getWest();
  const pixels = map.getSize().x / wide;
  const step = STEPS.find((size) => size * pixels >= APART_PX) ?? STEPS.at(-1);
  const digits = Math.max(0, -Math.floor(Math.log10(step)));
  const room = seen.getEast() - NAME_PX / pixels;
  for (const lon of between(seen.getWest(), seen.getEast(), step)) {
    line([[seen.getSouth(), lon], [seen.getNorth(), lon]]).addTo(layer);
    if (lon < room) name([seen.getSouth(), lon], `${Math.abs(lon).toFixed(digits)}° ${lon < 0 ? "W" : "E"}`, [-4, 16]).addTo(layer);
  }
  for (const lat of between(seen.getSouth(), seen.getNorth(), step)) {
    line([[lat, seen.getWest()], [lat, seen.getEast()]]).addTo(layer);
    name([lat, seen.getEast()], `${Math.abs(lat).toFixed(digits)}° ${lat < 0 ? "S" : "N"}`, [62, 16]).addTo(layer);
  }
}

function between(from, to, step) {
  const found = [];
  for (let n = Math.ceil(from / step); n * step <= to && found.length < 60; n += 1) found.push(n * step);
  return found;
}

function line(ends) {
  return L.polyline(ends, { className: "meridian", weight: 1, interactive: false });
}

function name(at, text, anchor) {
  const icon = L.divIcon({ className: "map-line-name", html: text, iconAnchor: anchor, iconSize: null });
  return L.marker(at, { icon, interactive: false, keyboard: false });
}
