/**
 * Figures and marks of Arabic and of Persian, as phones in these languages type them, in those of others; each takes as
 * much room as before. Commas (U+066C, U+060C) part thousands, and end with other bits than the decimal sign (U+066B).
 * calc/unit does the same.
 */
export const western = (text: string, decimal?: string): string =>
  text.replace(/[٠-٩۰-۹٫٬،]/g, (c) => {
    const n = c.charCodeAt(0) & 15;
    return n < 10 ? "" + n : n > 11 === (decimal === ".") ? "," : ".";
  });
