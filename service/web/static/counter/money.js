// Shares as a counter types them, in per cent, and as the contract writes them, decimal text from 0 to 1;
// digit by digit, so that nothing is lost on the way. Pure: touches nothing but its arguments.

// 8.875, 8,875 or 8.875 % is "0.08875". What is no number goes on as it is, to be refused.
export function shareOf(percent) {
  const text = percent.trim();
  const [, whole = "", part = ""] = /^(\d*)[.,]?(\d*) ?%?$/.exec(text) ?? [];
  if (!whole && !part) return text;
  const digits = whole.padStart(3, "0");
  return plain(digits.slice(0, -2), digits.slice(-2) + part);
}

// "0.08875" is 8.875; what is none stays as it is.
export function percentOf(share) {
  const [, whole, part = ""] = /^(\d+)(?:\.(\d+))?$/.exec(share) ?? [];
  if (whole === undefined) return share;
  const digits = part.padEnd(2, "0");
  return plain(whole + digits.slice(0, 2), digits.slice(2));
}

function plain(whole, part) {
  const [before, after] = [whole.replace(/^0+(?=\d)/, ""), part.replace(/0+$/, "")];
  return after ? `${before}.${after}` : before;
}
