// What follows from a form, worked out by the server while it is typed. Without this the figures
// stand on the page after the form is stored.
// data-live on a form: the address that answers with the figures; data-live-here: where they go.
const WAIT_MS = 400;

function watch(form) {
  const here = document.querySelector(form.dataset.liveHere);
  let timer = 0;
  let asked = 0;
  async function ask() {
    const mine = ++asked;
    const answer = await fetch(form.dataset.live, {
      method: "POST",
      body: new FormData(form),
      headers: { "X-Requested-With": "fetch" },
    }).catch(() => null);
    if (mine !== asked) return;
    if (!answer || !answer.ok) {
      here.textContent = "No figures now: the server does not answer. What you typed is kept.";
      return;
    }
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    here.replaceChildren(...fresh.body.childNodes);
  }
  form.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(ask, WAIT_MS);
  });
}

for (const form of document.querySelectorAll("form[data-live]")) watch(form);
