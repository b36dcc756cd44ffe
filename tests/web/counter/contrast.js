// The contrast of every text that a page shows, as WCAG 2.2 reckons it (1.4.3 and its definitions of
// contrast ratio and relative luminance), from computed colours, over what lies behind them.
// {all, low}: how many texts, and [{text, ratio, least, where}] of those below their least. Controls
// that are off have none (1.4.3). Run by test_counter_access.py.
() => {
  const channels = (color) => {
    const [r, g, b, a = 1] = color.match(/[\d.]+/g).map(Number);
    return [r, g, b, a];
  };
  const over = ([r, g, b, a], back) => [r, g, b].map((each, i) => each * a + back[i] * (1 - a));
  const mix = (front, back, share) => front.map((each, i) => each * share + back[i] * (1 - share));
  const luminance = (color) => {
    const [r, g, b] = color.map((each) => {
      const s = each / 255;
      return s <= 0.04045 ? s / 12.92 : ((s + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const contrast = (one, other) => {
    const [light, dark] = [luminance(one), luminance(other)].sort((a, b) => b - a);
    return (light + 0.05) / (dark + 0.05);
  };
  // What a chain of elements comes to, from the outermost in: [ground, text].
  const painted = ([element, ...inner], back, color) => {
    const style = getComputedStyle(element);
    const ground = over(channels(style.backgroundColor), back);
    const told = inner.length ? painted(inner, ground, color) : [ground, over(channels(color), ground)];
    return told.map((each) => mix(each, back, Number(style.opacity)));
  };
  const chain = (element) => (element ? [...chain(element.parentElement), element] : []);
  const off = (element) => element.disabled
    || (element.matches("label") && element.control?.disabled);
  const texts = [];
  for (const element of document.body.querySelectorAll("*")) {
    if (!element.checkVisibility({ visibilityProperty: true }) || off(element)) continue;
    const own = [...element.childNodes].filter((each) => each.nodeType === Node.TEXT_NODE)
      .map((each) => each.data.trim()).join("");
    const style = getComputedStyle(element);
    if (element.matches("input, textarea") && element.placeholder && !element.value) {
      texts.push([element, element.placeholder, getComputedStyle(element, "::placeholder").color]);
    } else if (own || (element.matches("input[type=text], textarea") && element.value)) {
      texts.push([element, own || element.value, style.color]);
    }
  }
  const low = texts.map(([element, text, color]) => {
    const { fontSize, fontWeight } = getComputedStyle(element);
    const size = Number.parseFloat(fontSize);
    const large = size >= 24 || (size >= 18.66 && Number(fontWeight) >= 700);
    const [ground, front] = painted(chain(element), [255, 255, 255], color);
    return { text: text.slice(0, 40), ratio: contrast(ground, front), least: large ? 3 : 4.5,
      where: element.closest("[id]")?.id };
  }).filter(({ ratio, least }) => ratio < least);
  return { all: texts.length, low };
}
