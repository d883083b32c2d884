// Lays "now" over "then" with a slider between them. Bound by data-pair-frame; without this
// script both pictures stand one below the other.

function start(frame) {
  const cut = frame.querySelector("input[type=range]");
  const lay = frame.querySelector("[data-pair-lay]");
  const pictures = frame.querySelectorAll("img");
  if (!cut || pictures.length < 2) return;
  const show = () => {
    frame.classList.toggle("is-laid", lay.checked);
    cut.disabled = !lay.checked;
    frame.style.setProperty("--cut", `${cut.value}%`);
    cut.setAttribute("aria-valuetext", `left of ${cut.value} % then, right of it now`);
  };
  cut.closest(".pair__cut").hidden = false;
  cut.addEventListener("input", show);
  lay.addEventListener("change", show);
  show();
}

for (const frame of document.querySelectorAll("[data-pair-frame]")) start(frame);
