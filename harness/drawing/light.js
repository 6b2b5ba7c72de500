/* What of a drawing is lit; the rest pales. `groups`: element, its name, the names within it. */
const light = (groups, lit, further, isNested) => {
  for (const [el, name, inner] of groups) {
    const on = lit.has(name);
    const more = !on && further.has(name);
    const nested = isNested(el);
    const dim = !on && !more && (nested ? name.includes("_2f_way-") : inner.every((i) =>
      !lit.has(i) && !further.has(i)));
    el.classList.toggle("dim", lit.size > 0 && dim);
    el.classList.toggle("further", lit.size > 0 && more && !nested);
  }
};
