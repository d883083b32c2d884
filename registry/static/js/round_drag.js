// Draws an order to another day or crew. The link "Move or pin" beside it does the same.

const form = document.getElementById("move-order");
let drawn = null;
let sent = false; // a move is on its way: a second one would change a round that is no longer the newest

function closest(event, selector) {
  const node = event.target; // a text where a selection is drawn
  return (node instanceof Element ? node : node.parentElement)?.closest(selector);
}

function boardOf(event) {
  return drawn && closest(event, "[data-drop-on]");
}

function mark(board) {
  document.querySelectorAll(".is-over").forEach((other) => other.classList.remove("is-over"));
  if (board) board.classList.add("is-over");
}

function begin(event) {
  const row = closest(event, "[data-order]");
  if (!row) return;
  if (sent) return event.preventDefault();
  drawn = row;
  event.dataTransfer.effectAllowed = "move";
  event.dataTransfer.setData("text/plain", row.dataset.order);
  row.classList.add("is-drawn");
}

function over(event) {
  const board = boardOf(event);
  mark(board);
  if (board) event.preventDefault();
}

function end() {
  if (drawn) drawn.classList.remove("is-drawn");
  drawn = null;
  mark(null);
}

function drop(event) {
  const board = boardOf(event);
  if (!board) return;
  event.preventDefault();
  if (board.contains(drawn)) return end();
  form.action = form.dataset.action.replace(/0\/$/, `${drawn.dataset.order}/`);
  form.elements.on.value = board.dataset.dropOn;
  form.elements.crew.value = board.dataset.dropCrew;
  end();
  sent = true;
  form.submit();
}

if (form) {
  document.addEventListener("dragstart", begin);
  document.addEventListener("dragover", over);
  document.addEventListener("drop", drop);
  document.addEventListener("dragend", end);
  window.addEventListener("pageshow", () => (sent = false));
}
