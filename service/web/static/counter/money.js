// Shares, typed in per cent and written by the contract as decimal text from 0 to 1. They are
// converted digit by digit, so that nothing is lost. Pure: touches nothing but its arguments.

// A share from a percentage: 8.875, 8,875 or 8.875 % is "0.08875". Text that is no number stays as
// it is, to be refused.
export function shareOf(percent) {
  const text = percent.trim();
  const [, whole = "", part = ""] = /^(\d*)[.,]?(\d*) ?%?$/.exec(text) ?? [];
  if (!whole && !part) return text;
  const digits = whole.padStart(3, "0");
  return plain(digits.slice(0, -2), digits.slice(-2) + part);
}

// A percentage from a share: "0.08875" is 8.875. Text that is no share stays as it is.
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
