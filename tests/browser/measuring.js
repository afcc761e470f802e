// What is wrong with a page as it is drawn: run inside it, answers with lists of sentences. Changes nothing.
(() => {
  // Text for screen readers alone is cut to a pixel on purpose.
  const known = new Map();
  const offScreen = (el) => {
    if (!el) return false;
    if (!known.has(el)) known.set(el, getComputedStyle(el).clipPath !== "none" || offScreen(el.parentElement));
    return known.get(el);
  };
  const visible = (el) => el.checkVisibility({ visibilityProperty: true }) && !offScreen(el);
  const name = (el) => `${el.tagName.toLowerCase()}.${el.getAttribute("class") || ""} “${(el.textContent || "").trim().slice(0, 40)}”`;

  const textRects = () => {
    const found = [];
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      const el = node.parentElement;
      if (!node.textContent.trim() || el.closest("title, desc") || !visible(el)) continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      for (const box of range.getClientRects()) {
        if (box.width > 0.5 && box.height > 0.5) found.push({ el, box, text: node.textContent.trim().slice(0, 30) });
      }
    }
    return found;
  };

  const cutOff = () => {
    const wide = document.documentElement.clientWidth;
    const found = [];
    if (document.documentElement.scrollWidth > wide) found.push(`the page scrolls sideways: ${document.documentElement.scrollWidth} > ${wide}`);
    for (const el of document.querySelectorAll("main *:not(svg, svg *)")) {
      if (!visible(el)) continue;
      const style = getComputedStyle(el);
      if (style.display !== "inline" && el.scrollWidth > el.clientWidth + 1 && el.clientWidth) found.push(`wider than its room: ${name(el)}`);
      if (style.overflowY === "hidden" && el.scrollHeight > el.clientHeight + 1) found.push(`cut off below: ${name(el)}`);
    }
    for (const { box, text } of textRects()) {
      if (box.left < -0.5 || box.right > wide + 0.5) found.push(`runs out of the window: “${text}” ${box.left}–${box.right}`);
    }
    return found;
  };

  // Lines of one paragraph may touch by a pixel, since a line's box is a little higher than its letters.
  const overlapping = () => {
    const rects = textRects();
    const found = [];
    rects.sort((a, b) => a.box.top - b.box.top);
    for (let i = 0; i < rects.length; i++) {
      for (let j = i + 1; j < rects.length && rects[j].box.top < rects[i].box.bottom; j++) {
        const a = rects[i].box, b = rects[j].box;
        const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
        const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
        if (across > 1 && down > 0.25 * Math.min(a.height, b.height)) found.push(`“${rects[i].text}” and “${rects[j].text}”`);
      }
    }
    return found;
  };

  const channels = (color) => {
    const parts = color.match(/[\d.]+/g).map(Number);
    return parts.length === 3 ? [...parts, 1] : parts;
  };
  const luminance = (rgb) => {
    const [r, g, b] = rgb.slice(0, 3).map((c) => (c / 255 <= 0.04045 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const contrast = (a, b) => {
    const [high, low] = [luminance(a), luminance(b)].sort((x, y) => y - x);
    return (high + 0.05) / (low + 0.05);
  };
  const groundOf = (el) => {
    for (let at = el; at; at = at.parentElement) {
      const color = channels(getComputedStyle(at).backgroundColor);
      if (color[3] === 1) return color;
      if (color[3] > 0) throw new Error(`A half-transparent ground cannot be measured: ${name(at)}`);
    }
    throw new Error("The page has no ground of its own.");
  };
  const pale = (text, marks) => {
    const found = [];
    let measured = { text: 0, marks: 0 };
    const seen = new Set();
    for (const { el } of textRects()) {
      if (seen.has(el)) continue;
      seen.add(el);
      const style = getComputedStyle(el);
      const color = channels(el.closest("svg") ? style.fill : style.color);
      const ratio = contrast(color, groundOf(el));
      measured.text += 1;
      if (color[3] < 1 || Number(style.opacity) < 1 || ratio < text) found.push(`${ratio.toFixed(2)}: ${name(el)}`);
    }
    for (const el of document.querySelectorAll(".mark, .sign")) {
      if (!visible(el)) continue;
      const style = getComputedStyle(el);
      const ground = groundOf(el.closest("svg"));
      const ratios = [style.fill, style.stroke].filter((c) => c !== "none").map((c) => contrast(channels(c), ground));
      measured.marks += 1;
      if (Math.max(...ratios) < marks) found.push(`${Math.max(...ratios).toFixed(2)}: mark ${name(el)}`);
    }
    for (const el of document.querySelectorAll("input, button, .button")) {
      const ratio = contrast(channels(getComputedStyle(el).borderTopColor), groundOf(el.parentElement));
      if (visible(el) && ratio < marks) found.push(`${ratio.toFixed(2)}: border of ${name(el)}`);
    }
    return { found, measured };
  };

  const small = (least) => [...document.querySelectorAll("a, button, input, summary")]
    .filter(visible)
    .map((el) => ({ el, box: el.getBoundingClientRect() }))
    .filter(({ box }) => box.height < least)
    .map(({ el, box }) => `${box.height.toFixed(0)} px high: ${name(el)}`);

  return { cutOff, overlapping, pale, small };
})()
