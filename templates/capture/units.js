// What is usual, told in the unit that is chosen.
const DIGITS = 3;

// `usual` has its ends in SI and its text as declared; `scales` is each unit of the dimension as [SI units in one, SI where it reads zero].
export function inUnit(usual, unit, scales) {
  const [factor, zero] = scales?.[unit] ?? [0, 0];
  // A wire gauge has no scale, and what is declared in this unit stands as it was declared.
  if (!factor || usual.text.endsWith(` ${unit}`)) return usual.text.replace("..", " to ");
  const shown = (si) => Number(((si - zero) / factor).toPrecision(DIGITS)).toLocaleString("en-US", { maximumFractionDigits: 6 });
  return `${shown(usual.low)} to ${shown(usual.high)}${unit === "1" ? "" : ` ${unit}`}`;
}
