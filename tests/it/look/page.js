// What is wrong with the page that is shown, as lines of text; none where nothing is. Run in a browser by every_page.rs.
const wrong = [];
const name = (one) => one.tagName.toLowerCase() + (one.id ? "#" + one.id : "") + (one.className?.baseVal ?? one.className ? "." + (one.className.baseVal ?? one.className) : "") + " '" + (one.textContent || one.value || "").trim().slice(0, 40) + "'";
const seen = (one) => one.checkVisibility({ visibilityProperty: true, opacityProperty: true }) && one.getClientRects().length > 0;

// Headings: one of the first rank, none that leaves out a rank.
const headings = [...document.querySelectorAll("h1, h2, h3, h4, h5, h6")].map((one) => +one.tagName[1]);
if (headings.filter((rank) => rank === 1).length !== 1) wrong.push("not one h1: " + headings);
headings.forEach((rank, i) => { if (rank > (headings[i - 1] ?? 0) + 1) wrong.push("a heading leaves out a rank: " + name([...document.querySelectorAll("h1, h2, h3, h4, h5, h6")][i])); });
if (!document.documentElement.lang) wrong.push("no language");
if (!document.title.trim()) wrong.push("no title");

// Tables: header cells with words and a scope, a name.
for (const table of document.querySelectorAll("table")) {
  const heads = [...table.querySelectorAll("th")];
  if (!heads.length) wrong.push("a table without header cells: " + name(table));
  for (const head of heads) {
    if (!head.scope) wrong.push("a header cell without a scope: " + name(head));
    if (!head.textContent.trim()) wrong.push("an empty header cell in: " + name(table));
  }
  const box = table.closest(".scroll");
  if (!box?.getAttribute("aria-label") && !table.caption) wrong.push("a table without a name");
  if (!box || !["auto", "scroll", "visible"].includes(getComputedStyle(box).overflowX)) wrong.push("a table that does not scroll in its own box");
}

// Names: of links, buttons, fields, pictures. Ids stand once.
for (const one of document.querySelectorAll("a, button, summary")) {
  if (!seen(one)) continue;
  const words = one.getAttribute("aria-label") ?? one.textContent;
  if (!words.trim() && !one.closest("svg")) wrong.push("without a name: " + one.outerHTML.slice(0, 200));
}
for (const one of document.querySelectorAll("input:not([type=hidden]), select, textarea")) {
  if (!one.labels.length && !one.getAttribute("aria-label")) wrong.push("a field without a label: " + name(one));
}
for (const one of document.querySelectorAll("svg")) {
  if (one.getAttribute("role") !== "img" || !one.querySelector("title") || !one.querySelector("desc")) wrong.push("a picture without words");
}
const ids = [...document.querySelectorAll("[id]")].map((one) => one.id);
ids.filter((id, i) => ids.indexOf(id) !== i).forEach((id) => wrong.push("twice the id " + id));

// The page itself does not scroll sideways.
const wide = document.documentElement.scrollWidth - innerWidth;
if (wide > 0) {
  const out = [...document.querySelectorAll("body *")].filter((one) => !one.parentElement.closest(".scroll") && one.getBoundingClientRect().right > innerWidth + 1).slice(0, 3);
  wrong.push("wider than the screen by " + wide + ": " + out.map(name).join(", "));
}

// Targets (W3C, Web Content Accessibility Guidelines 2.2, success criterion 2.5.8): at least 24 by 24, or with so much room around that a circle of 24 around the middle
// of each meets no other target nor another's circle; links within a sentence are free, and those in a picture stand in a list as well.
const targets = [...document.querySelectorAll("a, button, input:not([type=hidden]), select, textarea, summary")].filter((one) => seen(one) && !one.closest("svg") && !one.matches(".skip"));
const small = [];
const boxes = targets.map((one) => {
  const label = one.labels?.[0];
  const box = (label && label.contains(one) ? label : one).getBoundingClientRect();
  const inside = one.matches("a") && one.closest("p, pre, .small");
  const low = box.width < 23.9 || box.height < 23.9;
  return { one, box, inside, low, x: box.left + box.width / 2, y: box.top + box.height / 2 };
});
boxes.sort((one, other) => one.y - other.y);
boxes.forEach((a, i) => {
  if (!a.low || a.inside) return;
  for (const step of [-1, 1]) {
    for (let j = i + step; j >= 0 && j < boxes.length && Math.abs(boxes[j].y - a.y) < 60; j += step) {
      const b = boxes[j];
      const x = Math.max(b.box.left, Math.min(a.x, b.box.right)), y = Math.max(b.box.top, Math.min(a.y, b.box.bottom));
      const near = b.low ? Math.hypot(a.x - b.x, a.y - b.y) < 23.9 : Math.hypot(a.x - x, a.y - y) < 11.9;
      if (near) { small.push(name(a.one) + " " + Math.round(a.box.width) + "×" + Math.round(a.box.height) + " beside " + name(b.one)); return; }
    }
  }
});
if (small.length) wrong.push("too small to touch (" + small.length + "): " + small.slice(0, 4).join("; "));

// Contrast (the same, success criterion 1.4.3, by its definitions of relative luminance and contrast ratio): of each text on its ground.
const part = (value) => { const c = value / 255; return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4; };
const numbers = (text) => (text.match(/[\d.]+/g) ?? []).map(Number);
const light = ([r, g, b]) => 0.2126 * part(r) + 0.7152 * part(g) + 0.0722 * part(b);
const contrast = (one, other) => { const [a, b] = [light(one), light(other)].sort((x, y) => y - x); return (a + 0.05) / (b + 0.05); };
if (Math.abs(contrast([0, 0, 0], [255, 255, 255]) - 21) > 1e-9) wrong.push("the formula is wrong");
const ground = (one) => {
  for (let at = one; at; at = at.parentElement) {
    const colour = numbers(getComputedStyle(at).backgroundColor);
    if (colour.length === 3 || colour[3] > 0.99) return colour;
    if (colour[3] > 0) wrong.push("a ground that shines through: " + name(at));
  }
  return [255, 255, 255];
};
const pale = new Map();
let texts = 0;
for (const one of document.querySelectorAll("body *")) {
  if (![...one.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim()) || !seen(one) || one.matches("title, desc, option")) continue;
  texts += 1;
  const style = getComputedStyle(one);
  const inPicture = one.closest("svg");
  const grounds = [ground(one)];
  if (inPicture) one.parentElement.querySelectorAll("rect").forEach((rect) => { if (one.matches(".label") && rect.parentElement.matches(".job")) grounds.push(numbers(getComputedStyle(rect).fill)); });
  const ink = numbers(inPicture ? style.fill : style.color);
  for (const under of grounds) {
    const told = contrast(ink, under);
    if (told < 4.5) pale.set(ink + " on " + under, name(one) + " " + told.toFixed(2));
  }
}
pale.forEach((where, pair) => wrong.push("too pale: " + pair + ", " + where));
if (!texts) wrong.push("no text");
return wrong;
