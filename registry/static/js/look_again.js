// Renews the part marked data-look-again every so many seconds, until the work is done.
// Without this script the link "Look again" does the same.

const part = document.querySelector("[data-look-again]");

async function lookAgain(old) {
  const answer = await fetch(window.location.href, { credentials: "same-origin" });
  if (!answer.ok) return later(old);
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const fresh = page.getElementById(old.id);
  if (!fresh || !fresh.dataset.lookAgain) return window.location.reload();
  if (fresh.textContent !== old.textContent) old.replaceChildren(...fresh.childNodes);
  later(old);
}

function later(old) {
  // A network that is away for a moment is no reason to stop looking.
  window.setTimeout(() => lookAgain(old).catch(() => later(old)), Number(old.dataset.lookAgain) * 1000);
}

if (part) later(part);
