(() => {
"use strict";
const one = (name) => document.getElementById(name);
const all = (what, where = document) => [...where.querySelectorAll(what)];
const made = (tag, text, name) => {
  const el = document.createElement(tag);
  if (text) el.textContent = text;
  if (name) el.className = name;
  return el;
};

/* Tracing: a tap on a lead or part lights its run and says it in words. */
const data = JSON.parse(one("_traces").textContent);
const byGroup = new Map();
data.traces.forEach((trace, n) => {
  for (const at of trace.taps) if (!byGroup.has(data.ids[at])) byGroup.set(data.ids[at], n);
});
/* Further pieces of one lead (its second stretch, the plugs on its way) count as that lead. */
const base = (name) => name.replace(/(_7e_\d+)?(-plug-\d+)?$/, "");
const figures = all(".large").map((figure) => ({
  figure,
  frame: figure.querySelector(".frame"),
  svg: figure.querySelector("svg"),
  map: figure.querySelector(".map"),
  choose: figure.querySelector(".choose"),
  prefix: `p${figure.id.slice(2)}_3a_`,
  taps: new Map(),
  groups: [],
}));
const panel = one("_panel");
let shown = null;

const paint = (f, trace) => {
  const lit = new Set(trace ? trace.lit.map((n) => data.ids[n]) : []);
  const further = new Set(trace ? trace.further.map((n) => data.ids[n]) : []);
  f.figure.classList.toggle("traced", Boolean(trace));
  light(f.groups, lit, further, (el) => el.parentElement.closest(`g[id^="${f.prefix}"]`) !== null);
};
const indent = (line) => Math.min(3, Math.floor((line.length - line.trimStart().length) / 2));
const tell = (trace, back) => {
  one("_panel-title").textContent = trace.title;
  const body = one("_panel-words");
  body.replaceChildren();
  for (const [title, lines] of trace.words) {
    if (title) body.append(made("h3", title));
    for (const line of lines) body.append(made("p", line.trim(), `i${indent(line)}`));
  }
  for (const [target, text] of trace.links) {
    if (!one(target)) continue;
    const a = made("a", text, "go");
    a.href = `#${target}`;
    body.append(a);
  }
  body.scrollTop = 0;
  one("_back").hidden = !back;
  panel.hidden = false;
  document.body.style.paddingBottom = `${panel.offsetHeight}px`;
};
const mark = (n) => {
  for (const f of figures.filter((some) => some.choose)) {
    paint(f, n === null ? null : data.traces[n]);
    for (const [el, at] of f.taps) {
      el.setAttribute("aria-pressed", String(at === n));
    }
    f.choose.value = n !== null && [...f.taps.values()].includes(n) ? String(n) : "";
  }
};
const clear = () => {
  if (shown === null) return;
  shown = null;
  mark(null);
  panel.hidden = true;
  document.body.style.paddingBottom = "";
};
const trace = (f, n, back = false) => {
  shown = { f, n };
  mark(n);
  tell(data.traces[n], back);
};
const boxOf = (f, els) => {
  const frame = f.frame.getBoundingClientRect();
  const rects = els.map((el) => el.getBoundingClientRect());
  const left = Math.min(...rects.map((r) => r.left)) - frame.left + f.frame.scrollLeft;
  const top = Math.min(...rects.map((r) => r.top)) - frame.top + f.frame.scrollTop;
  return {
    left, top,
    wide: Math.max(...rects.map((r) => r.right)) - frame.left + f.frame.scrollLeft - left,
    high: Math.max(...rects.map((r) => r.bottom)) - frame.top + f.frame.scrollTop - top,
  };
};
/* What of a frame the panel leaves free: below it on a phone, beside it elsewhere. */
const free = (f) => {
  const frame = f.frame.getBoundingClientRect();
  const room = { wide: f.frame.clientWidth, high: f.frame.clientHeight };
  if (panel.hidden) return room;
  const over = panel.getBoundingClientRect();
  const narrow = window.innerWidth < 1024;
  if (!narrow) panel.classList.remove("away");
  if (!narrow) room.wide = Math.min(room.wide, panel.getBoundingClientRect().left - frame.left);
  else room.high = Math.max(120, Math.min(room.high, over.top - frame.top));
  return room;
};
const centre = (f, at) => {
  const room = free(f);
  f.frame.scrollLeft = at.left + at.wide / 2 - room.wide / 2;
  f.frame.scrollTop = at.top + at.high / 2 - room.high / 2;
};
const zoom = (f, scale) => {
  const before = f.svg.getBoundingClientRect();
  const midX = (f.frame.scrollLeft + f.frame.clientWidth / 2) / before.width;
  const midY = (f.frame.scrollTop + f.frame.clientHeight / 2) / before.height;
  const least = (f.frame.clientWidth - 2) / f.svg.viewBox.baseVal.width;
  const now = Math.max(Math.min(least, 1.5), Math.min(4, scale));
  f.svg.style.width = `${now * f.svg.viewBox.baseVal.width}px`;
  f.svg.style.height = `${now * f.svg.viewBox.baseVal.height}px`;
  f.svg.style.maxWidth = "none";
  const after = f.svg.getBoundingClientRect();
  f.frame.scrollLeft = midX * after.width - f.frame.clientWidth / 2;
  f.frame.scrollTop = midY * after.height - f.frame.clientHeight / 2;
};
const scaleOf = (f) => f.svg.getBoundingClientRect().width / f.svg.viewBox.baseVal.width;
const whole = (f) => (f.frame.clientWidth - 2) / f.svg.viewBox.baseVal.width;
const reveal = (f, el) => {
  start(f);
  if (scaleOf(f) < 1.5) zoom(f, 1.5);
  f.figure.scrollIntoView({ block: "start" });
  const flag = one(el.id.replace(`${f.prefix}lead-`, `${f.prefix}flag-`));
  centre(f, boxOf(f, [flag || el]));
};
const showRun = () => {
  if (!shown) return;
  const { f, n } = shown;
  const names = new Set(data.traces[n].lit.map((at) => data.ids[at]));
  const els = f.groups.filter(([, name]) => names.has(name)).map(([el]) => el);
  if (!els.length) return;
  f.figure.scrollIntoView({ block: "start" });
  const at = boxOf(f, els);
  const room = free(f);
  zoom(f, scaleOf(f) * Math.min((room.wide - 24) / at.wide, (room.high - 24) / at.high));
  centre(f, boxOf(f, els));
};
/* A ribbon is thin and a finger is not: what lies nearest within 14 px is meant. */
const nearest = (f, x, y) => {
  for (const far of [0, 4, 8, 12, 14]) {
    for (let turn = 0; turn < (far ? 12 : 1); turn += 1) {
      const angle = (turn * Math.PI) / 6;
      const el = document.elementFromPoint(x + far * Math.cos(angle), y + far * Math.sin(angle));
      const tap = el && f.svg.contains(el) ? el.closest(".tap") : null;
      if (tap) return tap;
    }
  }
  return null;
};
const toggle = (f, n) => {
  if (shown && shown.n === n) clear(); else trace(f, n);
};
/* The panel goes to the other side, or the page up, where it would lie on the spot tapped. */
const clearOfPanel = (x, y) => {
  const over = panel.getBoundingClientRect();
  if (x < over.left - 24 || x > over.right + 24 || y < over.top - 24) return;
  if (window.innerWidth >= 1024) panel.classList.toggle("away");
  else window.scrollBy(0, y + 48 - over.top);
};
const arrows = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 };
const keys = (f, event) => {
  const tap = event.target.closest(".tap");
  if (!tap) return;
  const order = [...f.taps.keys()];
  const step = arrows[event.key];
  if (step) {
    const next = order[(order.indexOf(tap) + step + order.length) % order.length];
    tap.tabIndex = -1;
    next.tabIndex = 0;
    next.focus({ preventScroll: true });
    trace(f, f.taps.get(next));
    reveal(f, next);
  } else if (event.key === "Enter" || event.key === " ") {
    toggle(f, f.taps.get(tap));
  } else return;
  event.preventDefault();
};
/* A page that changes under a resting pointer is no pointing: what was let go stays so. */
const spot = (event) => `${event.clientX} ${event.clientY}`;
let pressed = "";
document.addEventListener("pointerdown", (event) => { pressed = spot(event); }, true);
const hold = (f) => {
  let from = null;
  let moved = false;
  f.frame.addEventListener("pointerdown", (e) => {
    moved = false;
    if (e.pointerType === "mouse" && e.button === 0) {
      from = [e.clientX, e.clientY, f.frame.scrollLeft, f.frame.scrollTop];
    }
  });
  window.addEventListener("pointermove", (e) => {
    if (!from) return;
    if (Math.hypot(e.clientX - from[0], e.clientY - from[1]) > 5) moved = true;
    if (!moved) return;
    f.frame.classList.add("held");
    f.frame.scrollLeft = from[2] - e.clientX + from[0];
    f.frame.scrollTop = from[3] - e.clientY + from[1];
  });
  window.addEventListener("pointerup", () => { from = null; f.frame.classList.remove("held"); });
  f.svg.addEventListener("pointerover", (event) => {
    if (shown || !f.choose || event.pointerType !== "mouse" || spot(event) === pressed) return;
    const tap = event.target.closest(".tap");
    paint(f, tap ? data.traces[f.taps.get(tap)] : null);
  });
  f.svg.addEventListener("pointerleave", () => { if (!shown && f.choose) paint(f, null); });
  f.svg.addEventListener("click", (event) => {
    if (moved) return;
    const tap = nearest(f, event.clientX, event.clientY);
    if (!tap) { clear(); return; }
    toggle(f, f.taps.get(tap));
    if (!shown) return;
    if (scaleOf(f) < 1) reveal(f, tap); else clearOfPanel(event.clientX, event.clientY);
  });
};
/* The drawing in small shows where one is, and takes one elsewhere. */
const place = (f) => {
  const wide = f.svg.getBoundingClientRect().width;
  const high = f.svg.getBoundingClientRect().height;
  const { clientWidth, clientHeight, scrollLeft, scrollTop } = f.frame;
  f.map.hidden = wide <= clientWidth * 1.2 && high <= clientHeight * 1.2;
  const view = f.map.querySelector("i").style;
  const part = (length, all) => `${Math.min(100, (100 * length) / all)}%`;
  view.left = part(scrollLeft, wide);
  view.top = part(scrollTop, high);
  view.width = part(clientWidth, wide);
  view.height = part(clientHeight, high);
};
const go = (f, event) => {
  const map = f.map.getBoundingClientRect();
  const svg = f.svg.getBoundingClientRect();
  const left = ((event.clientX - map.left) / map.width) * svg.width;
  const top = ((event.clientY - map.top) / map.height) * svg.height;
  centre(f, { left, top, wide: 0, high: 0 });
};
const travel = (f) => {
  let down = false;
  f.map.addEventListener("pointerdown", (event) => {
    down = true;
    f.map.setPointerCapture(event.pointerId);
    go(f, event);
  });
  f.map.addEventListener("pointermove", (event) => { if (down) go(f, event); });
  f.map.addEventListener("pointerup", () => { down = false; });
  f.map.addEventListener("pointercancel", () => { down = false; });
  f.frame.addEventListener("scroll", () => place(f), { passive: true });
  new ResizeObserver(() => { start(f); place(f); }).observe(f.frame);
  new ResizeObserver(() => place(f)).observe(f.svg);
};
const zooming = (f) => {
  for (const button of all("[data-zoom]", f.figure)) {
    const how = button.dataset.zoom;
    button.addEventListener("click", () => zoom(f, how === "whole" ? whole(f)
      : scaleOf(f) * (how === "in" ? 1.35 : 1 / 1.35)));
  }
};
/* Where a drawing starts, once it is unfolded and has a size. */
const start = (f) => {
  if (f.begun || !f.frame.clientWidth) return;
  f.begun = true;
  const box = f.svg.querySelector(".receiver, .autopilot, .part");
  if (box) centre(f, boxOf(f, [box]));
};
for (const f of figures) {
  const groups = all("g[id]", f.svg).filter((el) => el.id.startsWith(f.prefix));
  const name = (el) => base(el.id.slice(f.prefix.length));
  const fixed = /^(title|scale|legend|place-|bay-|outline|silhouette)/;
  for (const el of groups) {
    const n = byGroup.get(name(el));
    if (!fixed.test(name(el))) f.groups.push([el, name(el), all("g[id]", el).map(name)]);
    if (n === undefined) continue;
    el.classList.add("tap");
    el.setAttribute("role", "button");
    el.setAttribute("aria-label", data.traces[n].title);
    el.setAttribute("aria-pressed", "false");
    el.tabIndex = -1;
    f.taps.set(el, n);
  }
  zooming(f);
  hold(f);
  travel(f);
  if (!f.choose) continue;
  const first = f.taps.keys().next().value;
  if (first) first.tabIndex = 0;
  f.svg.setAttribute("role", "group");
  f.frame.addEventListener("keydown", (event) => keys(f, event));
  f.frame.addEventListener("focusin", (event) => {
    if (f.taps.has(event.target) && event.target.matches(":focus-visible")) {
      trace(f, f.taps.get(event.target));
      reveal(f, event.target);
    }
  });
  const here = [...new Set(f.taps.values())];
  const kinds = [["Leads", (t) => t.code], ["Parts and findings", (t) => !t.code]];
  for (const [label, fits] of kinds) {
    const group = made("optgroup");
    group.label = label;
    const some = here.filter((n) => fits(data.traces[n]));
    some.sort((a, b) => data.traces[a].title.localeCompare(data.traces[b].title, "en",
      { numeric: true }));
    for (const n of some) {
      const option = made("option", data.traces[n].title);
      option.value = String(n);
      group.append(option);
    }
    if (some.length) f.choose.append(group);
  }
  f.choose.addEventListener("change", () => {
    if (f.choose.value === "") { clear(); return; }
    const n = Number(f.choose.value);
    trace(f, n);
    reveal(f, [...f.taps].find(([, at]) => at === n)[0]);
  });
}
/* A link to a lead in a drawing traces it there. */
const follow = (name) => {
  const el = one(decodeURIComponent(name));
  const f = el && figures.find((some) => some.taps.has(el));
  if (!f) return false;
  trace(f, f.taps.get(el), history.length > 1);
  requestAnimationFrame(() => reveal(f, el));
  return true;
};
window.addEventListener("hashchange", () => { follow(location.hash.slice(1)); });
document.addEventListener("click", (event) => {
  const a = event.target.closest('a[href^="#"]');
  if (a && a.hash === location.hash) follow(a.hash.slice(1));
});
document.addEventListener("keydown", (event) => { if (event.key === "Escape") clear(); });
one("_close").addEventListener("click", clear);
one("_show").addEventListener("click", showRun);
one("_back").addEventListener("click", () => { clear(); history.back(); });
follow(location.hash.slice(1));
})();
