// Lengths as they are typed and as a tape reads them. Pure: touches nothing but its arguments.

const MM_PER_IN = 25.4;
// Only a document's number that is next to nothing has an exponent when it is put into a field.
const NUMBER = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:e-\d+)?$/;
const BARE_FRACTION = /^(?:\d+[ -])?\d+\/\d+$/;
const AFTER_FEET = /^\d+'[ -]?\d[\d ./]*$/; // 12' 6: what comes after feet is inches.
// One comma and no point: what stands before the number, the number's two parts, and what follows.
const COMMA = /^([^.,]*?)(\d*),(\d+)([^.,\d]*)$/;
const METRES = /^ *m(?:et(?:er|re)s?)?$/i;
const FRACTIONS = {
  "\u00bd": "1/2", "\u00bc": "1/4", "\u00be": "3/4",
  "\u215b": "1/8", "\u215c": "3/8", "\u215d": "5/8", "\u215e": "7/8",
};

const PARTS = { "": "m", centi: "cm", milli: "mm" };

// What a person typed as the contract writes a length: a number in the document's unit, or a text
// with its own unit. undefined where nothing is typed, so that the member is left out. Text that
// cannot be read stays as it is, so that the service says what is wrong with it.
export function readLength(typed, unit) {
  const text = tidy(typed);
  if (text === "") return undefined;
  if (NUMBER.test(text)) return Number(text);
  if (AFTER_FEET.test(text) || (unit === "in" && BARE_FRACTION.test(text))) return `${text}"`;
  return text;
}

// An angle or a count, which are numbers only. An angle may be typed with its sign: 45°.
export function readNumber(typed) {
  const text = plainNumber(typed).replace(/ ?[\u00b0\u00ba]$/, "");
  if (text === "") return undefined;
  return NUMBER.test(text) ? Number(text) : text;
}

// A number with the contract's signs in place of a word processor's minus and a decimal comma.
function plainNumber(typed) {
  return pointed(typed.trim()).replace("\u2212", "-");
}

// A decimal comma made a point. 12,500 stays as it is, since it may be twelve thousand; but in
// metres it is a decimal, as no deck has thousands of them, and so it is after a leading nought or
// four digits, which cannot stand before thousands.
export function pointed(typed) {
  const [, before, whole, part, after] = COMMA.exec(typed) ?? [];
  if (part === undefined) return typed;
  const mayBeThousands = part.length === 3 && /^[1-9]\d{0,2}$/.test(whole) && !METRES.test(after);
  return mayBeThousands ? typed : `${before}${whole}.${part}${after}`;
}

// A length with the tape's own marks in place of those of phones and word processors: 12’ 6½” and
// 12 ft 6 in are 12' 6 1/2"; 12' - 6" and 12' 6" 1/2 are put as the contract has them, too.
// Decimals and fractions of feet are converted, and centimetres made millimetres, ten for each.
// 12-6 and 12 6 stay as they are, as nobody can know whether feet are meant.
function tidy(typed) {
  return pointed(typed.trim())
    .replace(/(\d?)([\u00bc-\u00be\u215b-\u215e])/g,
      (_, before, sign) => `${before}${before && " "}${FRACTIONS[sign]}`)
    .replace(/[\u00b4`]/g, "'")
    .replace(/''|[\u201c\u201d\u2033\u02ba]/g, '"')
    .replace(/[\u2018\u2019\u2032\u02b9]/g, "'")
    .replace(/(\d) *(?:feet|foot|ft)\.?(?![a-z])/gi, "$1'")
    .replace(/(\d) *(?:inches|inch|in)\.?(?![a-z])/gi, '$1"')
    .replace(/(\d) *(milli|centi)?met(?:er|re)s?\.?$/i, (_, digit, part = "") => `${digit} ${PARTS[part.toLowerCase()]}`)
    .replace(/(\d) +(['"])/g, "$1$2")
    .replace(/\s+/g, " ")
    .replace(/^(\d+)' ?[-\u2013] ?(?=\d)/, "$1'-")
    .replace(/(\d)" (\d+\/\d+)"?$/, '$1 $2"')
    .replace(/(\d)-(\d+\/\d)/g, "$1 $2")
    .replace(/^(\d+\.?\d*|\.\d+) ?cm$/i, (_, cm) => `${plain(cm * 10)} mm`)
    .replace(/^(\d*\.\d+)'$/, (_, feet) => `${plain(feet * 12)}"`)
    .replace(/^(\d+) (\d+)\/([1-9]\d*)'$/, (all, whole, top, under) =>
      (Number(top) < Number(under) ? `${plain((Number(whole) + top / under) * 12)}"` : all));
}

const plain = (value) => Number(value.toFixed(6));

// The same length in another unit. A plain number is converted; a text names its own unit; a bare
// fraction, which is of inches, gets its mark.
export function convert(typed, to) {
  const text = plainNumber(typed);
  if (!NUMBER.test(text)) {
    const [, minus, bare] = /^(-?)(.*)$/.exec(text);
    return to === "mm" && BARE_FRACTION.test(tidy(bare)) ? minus + readLength(bare, "in") : typed;
  }
  const value = to === "mm" ? Number(text) * MM_PER_IN : Number(text) / MM_PER_IN;
  return String(Number(value.toFixed(to === "mm" ? 3 : 4)));
}

// How a plain number is read, to be shown beside its field: 20 in inches is = 1' 8", 2400 in
// millimetres = 2.4 m. Empty where nothing, nought or no plain number is typed.
export function readBack(typed, unit) {
  const text = plainNumber(typed);
  const value = Number(text);
  if (!NUMBER.test(text) || !value) return "";
  if (unit === "mm") return `= ${Number((value / 1000).toFixed(6))} m`;
  const whole = Number.isInteger(Number((value * 64).toFixed(6)));
  return `${whole ? "=" : "about"} ${tapeText(value, "in", 1 / 64)}`;
}

// A plain number of inches as a tape reads it, where a tape has a mark for it; anything else as it
// is.
export function onTape(typed, unit) {
  const [sign, text] = readBack(typed, unit).split(/ (.*)/);
  return unit === "in" && sign === "=" ? text : typed;
}

// A length that the reply gives without its tape text, at the nearest mark: 463.75 in is 38' 7
// 3/4". step: the reply's precision. A length exactly between two marks goes to the lesser (section
// 1).
export function tapeText(value, unit, step) {
  return markText(Math.floor(value / step + 0.5 - 1e-6) * step, unit);
}

// The tape text of what is left of a stick: the mark at or below it, within 1/1000 of a step.
export function leftText(value, unit, step) {
  return markText(Math.floor(value / step + 1e-3) * step, unit);
}

function markText(mark, unit) {
  if (unit === "mm") return `${Number(mark.toFixed(1))} mm`;
  const sixtyFourths = Math.round(Math.abs(mark) * 64);
  const feet = Math.floor(sixtyFourths / (12 * 64));
  const inches = Math.floor(sixtyFourths / 64) % 12;
  const part = fraction(sixtyFourths % 64);
  const under = [inches || part === "" ? `${inches}` : "", part].filter(Boolean).join(" ");
  const sign = mark < 0 && sixtyFourths ? "-" : "";
  if (!feet) return `${sign}${under}"`;
  return sign + (under === "0" ? `${feet}'` : `${feet}' ${inches}${part && ` ${part}`}"`);
}

function fraction(sixtyFourths) {
  if (!sixtyFourths) return "";
  let [top, under] = [sixtyFourths, 64];
  while (top % 2 === 0) [top, under] = [top / 2, under / 2];
  return `${top}/${under}`;
}
