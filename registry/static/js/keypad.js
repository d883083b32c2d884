// Puts keys beside a number that a phone's keypad cannot write: the three kinds of empty, a sign
// such as the colon of a time, and a switch between the keypad and letters.
// Bound by data-keypad="decimal" on a field; without this script the whole keyboard comes up.

const SIGN_WORDS = { ":": ": between minutes and seconds", "-": "- below zero" };

function press(text, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "second";
  made.textContent = text;
  made.addEventListener("click", () => act(made));
  return made;
}

// Told like typing, so that what is kept on the device stays true.
function write(field, text) {
  field.value = text;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

// A second press brings back what stood there before.
function emptyKey(field, code, word) {
  let before = "";
  const made = press(word, () => {
    if (isMarked(field, code, word)) return write(field, before);
    before = field.value;
    write(field, code);
  });
  const show = () => made.setAttribute("aria-pressed", String(isMarked(field, code, word)));
  field.addEventListener("input", show);
  show();
  return made;
}

function isMarked(field, code, word) {
  return [code, word].includes(field.value.trim().toLowerCase());
}

function signKey(field, sign) {
  const made = press(sign, () => {
    const { selectionStart: from, selectionEnd: to, value } = field;
    write(field, value.slice(0, from) + sign + value.slice(to));
    field.focus();
    field.setSelectionRange(from + sign.length, from + sign.length);
  });
  made.setAttribute("aria-label", SIGN_WORDS[sign] ?? sign);
  return made;
}

function lettersKey(field) {
  const made = press("letters", () => {
    const isLetters = field.inputMode !== "text";
    field.inputMode = isLetters ? "text" : field.dataset.keypad;
    made.setAttribute("aria-pressed", String(isLetters));
    field.focus();
  });
  made.className += " keys__letters";
  made.setAttribute("aria-pressed", "false");
  return made;
}

// One stop of the tab key for the whole row; arrows go along it.
function goAlong(row) {
  const all = [...row.children];
  const stopAt = (one) => all.forEach((key) => { key.tabIndex = key === one ? 0 : -1; });
  stopAt(all[0]);
  row.addEventListener("focusin", (event) => stopAt(event.target));
  row.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (!step) return;
    event.preventDefault();
    const seen = all.filter((key) => key.offsetParent);
    seen[(seen.indexOf(event.target) + step + seen.length) % seen.length].focus();
  });
}

function start(field) {
  const row = document.createElement("div");
  row.className = "keys";
  row.setAttribute("role", "toolbar");
  const label = field.labels[0]?.firstChild.textContent.trim() || field.name;
  row.setAttribute("aria-label", `Keys for ${label}`);
  const empties = (field.dataset.empties ?? "").split("; ").filter(Boolean);
  for (const pair of empties) row.append(emptyKey(field, ...pair.split(": ")));
  if (field.dataset.insert) row.append(signKey(field, field.dataset.insert));
  row.append(lettersKey(field));
  field.inputMode = field.dataset.keypad;
  field.after(row);
  goAlong(row);
}

for (const field of document.querySelectorAll("input[data-keypad]")) start(field);
