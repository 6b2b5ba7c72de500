const svg = document.documentElement;
const nameOf = (el) => el.id.replace(/^(code|band)-lead-/, "lead-").replace(/_7e_\d+$/, "");
const groups = [];
const taps = new Map();
let held = null;
const show = (n) => {
  svg.classList.toggle("traced", n !== undefined);
  const lit = n === undefined ? [] : ways.lit[n].map((at) => ways.ids[at]);
  light(groups, new Set(lit), new Set(), (el) => el.parentElement.closest("g[id]") !== null);
};
for (const el of svg.querySelectorAll("g[id]")) {
  if (/^(title|scale|legend|place-|bay-|outline|silhouette)/.test(el.id)) continue;
  groups.push([el, nameOf(el), [...el.querySelectorAll("g[id]")].map(nameOf)]);
  const n = ways.taps[nameOf(el)];
  if (n === undefined) continue;
  taps.set(el, n);
  el.classList.add("tap");
  if (/^(lead|part)-/.test(el.id)) el.setAttribute("tabindex", "0");
}
const tapAt = (event) => {
  let el = event.target;
  while (el && el !== svg && !taps.has(el)) el = el.parentElement;
  return taps.get(el);
};
const clear = () => { held = null; show(undefined); };
svg.addEventListener("pointerover", (event) => { if (held === null) show(tapAt(event)); });
svg.addEventListener("pointerleave", () => { if (held === null) show(undefined); });
svg.addEventListener("focusin", (event) => { show(tapAt(event)); });
svg.addEventListener("focusout", clear);
svg.addEventListener("keydown", (event) => { if (event.key === "Escape") clear(); });
svg.addEventListener("click", (event) => {
  const n = tapAt(event);
  if (n === undefined || n === held) { clear(); return; }
  held = n;
  show(n);
});
