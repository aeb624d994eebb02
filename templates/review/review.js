// The sound from a second before the words, words that light up as they are said, photos made large.
// Everything else is links and forms: without this script the page still works, and the sound has its own controls.
"use strict";
(() => {
  const sound = document.getElementById("sound"), play = document.getElementById("play");
  const said = [...document.querySelectorAll(".said")], spoken = [...document.querySelectorAll(".w")];
  const lead = 1, tail = 0.3;
  let until = Infinity;

  const playFrom = (second, end) => {
    until = end;
    sound.currentTime = Math.max(0, second - lead);
    sound.play().catch(() => { play.textContent = "The sound cannot be played here"; });
  };
  const light = () => {
    const at = sound.currentTime;
    for (const one of said) one.classList.toggle("now", !sound.paused && at >= +one.dataset.start && at < +one.dataset.end);
    for (const one of spoken) one.classList.toggle("lit", !sound.paused && at >= +one.dataset.from && at < +one.dataset.to);
    if (at > until + tail) { until = Infinity; sound.pause(); }
  };
  if (sound && play) {
    const first = +sound.dataset.start, last = +sound.dataset.end;
    const atStart = () => { if (sound.paused && sound.currentTime === 0) sound.currentTime = Math.max(0, first - lead); };
    if (sound.readyState > 0) atStart(); else sound.addEventListener("loadedmetadata", atStart, {once: true});
    play.addEventListener("click", () => { if (sound.paused) playFrom(first, last); else sound.pause(); });
    for (const button of document.querySelectorAll(".from"))
      button.addEventListener("click", () => playFrom(+button.dataset.from, last));
    const pressed = () => {
      play.setAttribute("aria-pressed", String(!sound.paused));
      play.textContent = sound.paused ? "Play these words" : "Stop";
      light();
    };
    sound.addEventListener("play", pressed);
    sound.addEventListener("pause", pressed);
    sound.addEventListener("timeupdate", light);
    sound.addEventListener("playing", function tick() { light(); if (!sound.paused) requestAnimationFrame(tick); });
  }

  for (const word of document.querySelectorAll(".touch"))
    word.addEventListener("click", () => {
      const box = word.closest(".said").querySelector("details"), text = box.querySelector("textarea");
      const letters = word.dataset.text, before = +word.dataset.at;
      box.open = true;
      text.focus();
      if (text.value.startsWith(letters, before)) text.setSelectionRange(before, before + letters.length);
    });

  const zoom = document.getElementById("zoom");
  if (zoom) {
    const view = zoom.querySelector(".zoom-view"), image = view.querySelector("img");
    let step = 1;
    const show = (to) => { step = Math.min(4, Math.max(1, to)); view.className = `zoom-view at-${step}`; };
    for (const one of document.querySelectorAll(".zooms"))
      (one.closest("button") ?? one).addEventListener("click", () => {
        image.src = one.src; image.alt = one.alt; show(1); zoom.showModal();
      });
    zoom.addEventListener("click", (event) => {
      const asked = event.target.dataset.zoom;
      if (asked === "close") zoom.close();
      else if (asked) show(step + (asked === "in" ? 1 : -1));
      else if (event.target === image) show(step === 4 ? 1 : step + 1);
    });
  }

  const again = document.querySelector("[data-again]");
  if (again) setTimeout(() => location.replace(again.dataset.again), 2000);

  // Nothing that was typed is lost: not where the program was stopped, and not to another form that is sent.
  const gone = document.getElementById("gone"), forms = [...document.querySelectorAll("form")];
  let sent = null;
  const changed = (field) => {
    if (field.type === "checkbox") return field.checked !== field.defaultChecked;
    if (field.options) return field.selectedIndex !== Math.max(0, [...field.options].findIndex((one) => one.defaultSelected));
    return field.type !== "hidden" && field.value !== field.defaultValue;
  };
  const typedIn = (form) => [...form.querySelectorAll("input, textarea, select")].some(changed);
  const enable = (form, on) => { for (const one of form.querySelectorAll("button")) one.disabled = !on; };
  for (const form of forms)
    form.addEventListener("submit", (event) => {
      if (sent === form) { setTimeout(() => enable(form, false)); return; }
      event.preventDefault();
      const asked = new Image();
      asked.onload = () => { sent = form; form.requestSubmit(event.submitter); };
      asked.onerror = () => { gone.hidden = false; form.prepend(gone); gone.focus(); };
      asked.src = `/look/icon.svg?${Date.now()}`;
    });
  addEventListener("beforeunload", (event) => {
    if (!forms.some((form) => form !== sent && typedIn(form))) return;
    event.preventDefault();
    setTimeout(() => { if (sent) enable(sent, true); sent = null; });  // for whoever stays
  });
})();
