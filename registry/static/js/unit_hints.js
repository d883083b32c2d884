// The units of a form can be changed on it: each hint then names the unit that is chosen now.
// Without this both units stand in the hint.

const CHOICE = "select[name=system], select[name$='-system'], [name=system]:checked";

function show(form) {
  const chosen = form.querySelector(CHOICE)?.value;
  if (!chosen) return;
  for (const unit of form.querySelectorAll("[data-ft]")) {
    unit.textContent = chosen === "si" ? unit.dataset.m : unit.dataset.ft;
  }
}

document.addEventListener("change", (event) => {
  if (event.target.form && event.target.matches(CHOICE)) show(event.target.form);
});
for (const form of document.forms) show(form);
