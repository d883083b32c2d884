// A form is sent once: a second press while the first is under way does nothing, so that it makes
// no second record. Bound to every form that is posted; the page is whole without it.

// A file that comes back leaves the page as it is; after so long its form may be sent again.
const MOST_MS = 10000;
let underWay = new WeakSet();

document.addEventListener("submit", (event) => {
  const form = event.target;
  // Not form.method: a field of that name would stand in its place.
  if (event.defaultPrevented || form.getAttribute("method") !== "post") return;
  if (underWay.has(form)) {
    event.preventDefault();
    return;
  }
  underWay.add(form);
  setTimeout(() => underWay.delete(form), MOST_MS);
});

// The way back shows the page as it was left.
window.addEventListener("pageshow", () => {
  underWay = new WeakSet();
});
