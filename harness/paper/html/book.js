(() => {
"use strict";
const page = document.documentElement;
const one = (name) => document.getElementById(name);
const all = (what, where = document) => [...where.querySelectorAll(what)];
page.classList.add("js");

/* What is kept on the device; where that is refused, for as long as the page is open. */
let lasting = true;
const read = (name) => {
  try { return localStorage.getItem(name); } catch { lasting = false; return null; }
};
const write = (name, text) => {
  try { localStorage.setItem(name, text); } catch { lasting = false; }
  one("_lost").hidden = lasting;
};
const box = page.dataset.box;
const load = () => {
  let found = null;
  try { found = JSON.parse(read(box)); } catch { /* damaged: begun anew */ }
  const sound = (part) => (found && found[part] && typeof found[part] === "object" ? found[part] : {});
  return { ticks: sound("ticks"), words: sound("words"), folds: sound("folds") };
};
let kept = load();
const save = () => write(box, JSON.stringify(kept));

/* Light and dark. */
const wish = matchMedia("(prefers-color-scheme: dark)");
const isDark = () => (page.dataset.scheme || (wish.matches ? "dark" : "light")) === "dark";
const showScheme = () => { one("_scheme").textContent = isDark() ? "Light" : "Dark"; };
const stored = read("harness scheme");
if (stored === "dark" || stored === "light") page.dataset.scheme = stored;
one("_scheme").addEventListener("click", () => {
  page.dataset.scheme = isDark() ? "light" : "dark";
  write("harness scheme", page.dataset.scheme);
  showScheme();
});
wish.addEventListener("change", showScheme);

/* Ticks and fields to write in. */
const ticks = all("input[data-tick]");
const words = all("input[data-word]");
const entries = new Map(all("#_contents a").map((a) => [a.getAttribute("href").slice(1), a]));
const made = (tag, text, name) => {
  const el = document.createElement(tag);
  if (text) el.textContent = text;
  if (name) el.className = name;
  return el;
};
const tally = () => {
  for (const section of all(".chapter")) {
    const boxes = all("input[data-tick]", section);
    const line = section.querySelector(".progress");
    if (!boxes.length || !line) continue;
    const done = boxes.filter((b) => b.checked).length;
    const bar = made("i");
    bar.style.width = `${(100 * done) / boxes.length}%`;
    const track = made("span", "", "track");
    track.append(bar);
    line.replaceChildren(track, made("span", `${done} of ${boxes.length} done`));
    const entry = entries.get(section.id);
    if (!entry) continue;
    const count = entry.querySelector(".count") || entry.appendChild(made("span", "", "count"));
    count.textContent = `${done} of ${boxes.length}`;
  }
  const done = ticks.filter((b) => b.checked).length;
  one("_done").textContent = ticks.length ? `${done} of ${ticks.length}` : "";
};
const show = () => {
  for (const b of ticks) {
    b.checked = kept.ticks[b.dataset.tick] === 1;
    b.closest(".tick").classList.toggle("ticked", b.checked);
  }
  for (const w of words) {
    const value = kept.words[w.dataset.word] || "";
    if (w.type === "checkbox") w.checked = value !== ""; else w.value = value;
  }
  tally();
};
document.addEventListener("change", (event) => {
  const { tick } = event.target.dataset || {};
  if (tick === undefined) return;
  if (event.target.checked) kept.ticks[tick] = 1; else delete kept.ticks[tick];
  save();
  show();
});
document.addEventListener("input", (event) => {
  const { word } = event.target.dataset || {};
  if (word === undefined) return;
  const { type, checked, value } = event.target;
  const said = type === "checkbox" ? (checked ? "yes" : "") : value;
  if (said) kept.words[word] = said; else delete kept.words[word];
  save();
});
window.addEventListener("storage", (event) => {
  if (event.key === box) { kept = load(); show(); }
});
const ask = (on) => {
  one("_ask").hidden = !on;
  one("_clear").hidden = on || !(ticks.length || words.length);
};
one("_clear").addEventListener("click", () => {
  const notes = Object.keys(kept.words).length;
  const count = Object.keys(kept.ticks).length;
  one("_ask-words").textContent =
    `Clear ${count} tick${count === 1 ? "" : "s"} and ${notes} written value${notes === 1 ? "" : "s"}?`;
  ask(true);
  one("_no").focus();
});
one("_no").addEventListener("click", () => { ask(false); one("_clear").focus(); });
one("_yes").addEventListener("click", () => {
  kept = { ...kept, ticks: {}, words: {} };
  save();
  show();
  ask(false);
  one("_clear").focus();
});
one("_print").addEventListener("click", () => window.print());

/* Large pictures of steps fold away on a narrow screen; small ones are simply there. */
for (const fold of all(".fold")) {
  const inner = fold.firstElementChild;
  const svg = fold.querySelector("svg");
  const [wide, high] = ["width", "height"].map((side) => Number(svg.getAttribute(side)));
  if (high <= 200 && wide <= fold.clientWidth) continue;
  const button = made("button", fold.dataset.name);
  const set = (open) => {
    inner.hidden = !open;
    button.setAttribute("aria-expanded", String(open));
  };
  button.type = "button";
  button.addEventListener("click", () => set(inner.hidden));
  fold.prepend(button);
  set(window.innerWidth >= 1024);
}

/* Chapters and their parts fold: on a narrow screen at first, then as they were left. */
const parts = all("details.part");
for (const part of parts) {
  const left = kept.folds[part.dataset.fold];
  part.open = left === undefined ? window.innerWidth >= 1024 : left === 1;
}
document.addEventListener("click", (event) => {
  const head = event.target.closest("summary");
  if (!head) return;
  kept.folds[head.parentElement.dataset.fold] = head.parentElement.open ? 0 : 1;
  save();
});
/* What a link leads to is unfolded, before the page goes there. */
const unfold = (name) => {
  const el = name && one(decodeURIComponent(name));
  if (!el) return;
  const inner = el.matches(".chapter") && el.querySelector("details.part");
  for (let part = inner || el.closest("details"); part; part = part.parentElement.closest("details")) {
    part.open = true;
  }
};
document.addEventListener("click", (event) => {
  const a = event.target.closest('a[href^="#"]');
  if (a) unfold(a.hash.slice(1));
}, true);
/* Where the address names a place, a browser is not to scroll to where the page stood before. */
if (location.hash) history.scrollRestoration = "manual";
const arrive = () => {
  unfold(location.hash.slice(1));
  const el = location.hash && one(decodeURIComponent(location.hash.slice(1)));
  if (el) el.scrollIntoView();
};
window.addEventListener("hashchange", () => unfold(location.hash.slice(1)));
/* Browsers that do not know how to print what is folded. */
let folded = [];
window.addEventListener("beforeprint", () => {
  folded = parts.filter((part) => !part.open);
  for (const part of folded) part.open = true;
});
window.addEventListener("afterprint", () => { for (const part of folded) part.open = false; });

/* A table that is wider than the screen says so. */
const slide = (el) => {
  el.classList.toggle("slides", el.scrollWidth > el.clientWidth + 1);
  el.classList.toggle("more", el.scrollWidth - el.scrollLeft > el.clientWidth + 2);
};
const sizes = new ResizeObserver((found) => found.forEach(({ target }) => slide(target)));
for (const el of all(".wide")) {
  sizes.observe(el);
  el.addEventListener("scroll", () => slide(el), { passive: true });
}

/* Where one is in the contents. */
const seen = new IntersectionObserver((found) => {
  for (const { target, isIntersecting } of found) {
    const entry = entries.get(target.id);
    if (entry && isIntersecting) {
      for (const a of entries.values()) a.removeAttribute("aria-current");
      entry.setAttribute("aria-current", "true");
    }
  }
}, { rootMargin: "-15% 0px -75% 0px" });
all(".chapter").forEach((section) => seen.observe(section));

showScheme();
show();
ask(false);
one("_lost").hidden = lasting;
arrive();
})();
