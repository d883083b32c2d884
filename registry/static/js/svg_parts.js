// Shapes laid over a picture, and the buttons beside it.

const SVG = "http://www.w3.org/2000/svg";

export function shape(name, values) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(values)) made.setAttribute(key, value);
  return made;
}

export function button(text, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "second";
  made.textContent = text;
  made.addEventListener("click", act);
  return made;
}
