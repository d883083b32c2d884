// Lets a point be set on a picture without a pointer: arrow keys move a cross by a twentieth of
// the picture, with Shift by a two-hundredth, Enter presses there, Backspace takes back the last.

const FAR = 0.05;
const NEAR = 0.005;
const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

export function pressByKeys(frame, { press, takeBack }) {
  const cross = document.createElement("span");
  cross.className = "photo__cross";
  cross.hidden = true;
  frame.append(cross);
  frame.tabIndex = 0;
  frame.setAttribute("role", "group");
  frame.setAttribute(
    "aria-label",
    "Picture. Arrow keys move the cross, with Shift by small steps; Enter sets a point; Backspace takes back the last.",
  );
  const at = [0.5, 0.5];
  const show = () => {
    cross.style.left = `${100 * at[0]}%`;
    cross.style.top = `${100 * at[1]}%`;
    cross.hidden = false;
  };
  frame.addEventListener("focus", () => { if (frame.matches(":focus-visible")) show(); });
  frame.addEventListener("blur", () => { cross.hidden = true; });
  frame.addEventListener("keydown", (event) => {
    const way = WAYS[event.key];
    if (way) {
      const step = event.shiftKey ? NEAR : FAR;
      for (const side of [0, 1]) at[side] = Math.min(1, Math.max(0, at[side] + way[side] * step));
      show();
    } else if (event.key === "Enter") {
      const seen = frame.getBoundingClientRect();
      press({
        preventDefault() {},
        clientX: seen.left + at[0] * seen.width,
        clientY: seen.top + at[1] * seen.height,
      });
    } else if (event.key === "Backspace") takeBack();
    else return;
    event.preventDefault();
  });
}
