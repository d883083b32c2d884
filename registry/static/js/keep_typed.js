// Keeps what is typed into a form on this device until the form is stored.
// Bound by data-keep="<name>" on a form; the page is whole without it. With data-keep-seen a
// correction is brought back with what its writer saw: set against that, not against what was
// stored by others since. The form's key is kept too: what came in although no answer came back is
// known when it is sent again, and stored once.

const KEPT = "typed:";

function fields(form) {
  return [...form.elements].filter(
    (field) =>
      field.name === "form_key" ||
      (field.name === "seen" && "keepSeen" in form.dataset) ||
      (field.name && !["hidden", "password", "file", "submit"].includes(field.type)),
  );
}

const isTicked = (field) => ["checkbox", "radio"].includes(field.type);

// Boxes to tick share a name: each is kept by its value too.
const keyOf = (field) => (isTicked(field) ? `${field.name}=${field.value}` : field.name);

function keep(form) {
  const typed = {};
  for (const field of fields(form)) {
    if (isTicked(field)) typed[keyOf(field)] = field.checked;
    else if (field.multiple) typed[field.name] = [...field.selectedOptions].map((o) => o.value);
    else typed[field.name] = field.value;
  }
  localStorage.setItem(KEPT + form.dataset.keep, JSON.stringify(typed));
}

function put(field, value) {
  if (isTicked(field)) field.checked = value;
  else if (field.multiple) {
    for (const option of field.options) option.selected = value.includes(option.value);
  } else field.value = value;
}

function bringBack(form, text) {
  const typed = JSON.parse(text);
  for (const field of fields(form)) if (keyOf(field) in typed) put(field, typed[keyOf(field)]);
}

function offer(form, text) {
  const line = document.createElement("p");
  line.className = "message";
  line.append("Something typed here before was not stored. ");
  const press = document.createElement("button");
  press.type = "button";
  press.className = "second";
  press.textContent = "Bring it back";
  press.addEventListener("click", () => {
    bringBack(form, text);
    line.remove();
  });
  line.append(press);
  form.prepend(line);
}

for (const form of document.querySelectorAll("form[data-keep]")) {
  const kept = localStorage.getItem(KEPT + form.dataset.keep);
  const isAnswered =
    form.querySelector("[aria-invalid=true]") ||
    form.elements.shown?.value ||
    "answered" in form.dataset;
  if (kept && !isAnswered) offer(form, kept);
  form.addEventListener("input", () => keep(form));
}

// A page that stands for a stored entry names the form whose typing is done.
for (const done of document.querySelectorAll("[data-typed-stored]")) {
  localStorage.removeItem(KEPT + done.dataset.typedStored);
}
