/** Reads words, numbers and quantities out of a text: as render/search does, to the letter. */

import { western } from "./figures";

/** A unit: a figure v in it is (v + offset) * factor - less in the unit of the measure. */
export type Measured = [measure: string, offset: number, factor: number, less: number, spellings: string, sloppy?: boolean];

/** What the texts of a language are read by. */
export interface Language {
  /** Its base: en, es. */
  tag: string;
  decimal: string;
  units: Measured[];
  /** Words that name nothing, and words that deny: all of these are searched as the first. */
  empty: string;
  not: string;
}

export interface Token {
  /** As the index has it. */
  term: string;
  /** A second way to read a number. */
  other?: string;
  /** Folded; "" for a number. */
  folded: string;
  /** It names nothing. */
  empty?: boolean;
  start: number;
  end: number;
  /** What a number may be, as written. */
  figures?: number[];
  unit?: Measured;
}

const letters: Record<string, string> = { ß: "ss", æ: "ae", œ: "oe", ø: "o", đ: "d", ł: "l", ı: "i", ς: "σ" };

/** Takes off case and accents. */
const fold = (s: string): string =>
  s
    .normalize("NFKD")
    .replace(/[\u0300-\u036f\u064b-\u0655]/g, "")
    .toLowerCase()
    .replace(/[^!-~]/g, (c) => letters[c] ?? c);

/** Letters and digits of the basic plane. */
const letter = "(?![\\u{10000}-\\u{10ffff}])[\\p{L}\\p{M}\\p{N}]";
const wordCharacter = new RegExp(`^${letter}$`, "u");
const isWord = (c = ""): boolean => wordCharacter.test(c);
const isHyphen = (c: string): boolean => "-\u2010\u2011".includes(c);

const longestJoined = 24;
const alike: Record<string, string> = { "\u2126": "Ω", "\u00ba": "°", "\u22c5": "·", "\u03bc": "µ", "\u00a0": " ", "\u2009": " ", "\u202f": " " };

export function reader(language: Language) {
  const { tag, decimal } = language;
  // English leaves an apostrophe out within a word.
  const run = new RegExp(`${letter}(?:${tag === "en" ? "['’]?" : ""}${letter})*`, "uy");
  const empty = language.empty.split(" ");
  const not = language.not.split(" ");
  const units = new Map<string, Measured>();
  let longest = 0;
  for (const u of language.units)
    for (const spelling of u[4].split("|")) {
      units.set(spelling, u);
      longest = Math.max(longest, spelling.length);
    }

  /** Takes off the plural's ending where that is safe. */
  function stem(w: string): string {
    if (rtl || w.length < 4 || /\d/.test(w)) return w; // neither language that has endings goes from right to left
    if (tag === "en") return w.replace(/(..)ies$|(ch|sh|ss|x|zz)es$|([^sui])s$/, (_, y, hiss, any) => (y ? y + "y" : hiss ?? any));
    if (tag === "es") {
      if (w.endsWith("s")) {
        if (!/[aeiou]s$/.test(w)) return w;
        w = w.slice(0, -1);
      }
      if (w.length > 4 && w.endsWith("e")) return w.slice(0, -1);
    }
    return w;
  }

  /** Without the marks that group thousands; null where they cannot. */
  function together(s: string): string | null {
    const parts = s.split(/[.,]/);
    return parts.some((p, i) => (i ? p.length !== 3 : parts.length > 1 && (p.length > 3 || p[0] === "0"))) ? null : parts.join("");
  }

  function figures(written: string): number[] | null {
    const s = written.replace(/[ \u00a0\u2009\u202f]/g, "");
    const mark = Math.max(s.lastIndexOf("."), s.lastIndexOf(","));
    const whole = together(mark < 0 ? s : s.slice(0, mark));
    if (whole === null) return null;
    const asFraction = Number(whole + "." + (mark < 0 ? "" : s.slice(mark + 1)));
    const group = together(s);
    const several = s.split(s[mark]!).length > 2; // without a mark: no
    if (mark < 0 || group === null) return several ? null : [asFraction];
    if (several) return [Number(group)];
    if (/[.,]/.test(s.slice(0, mark)) || s[mark] === decimal) return [asFraction];
    return decimal === "." ? [Number(group)] : [Number(group), asFraction];
  }

  /** The longest unit that begins at i, and its length. */
  function unit(text: string, i: number, typed: boolean): [Measured, number] | null {
    for (let n = Math.min(longest, text.length - i); n > 0; n--) {
      if (isWord(text[i + n])) continue;
      const u = units.get(text.slice(i, i + n).replace(/[^!-~]/g, (c) => alike[c] ?? c));
      if (u && (typed || !u[5])) return [u, n];
    }
    return null;
  }

  function number(text: string, i: number, typed: boolean): Token | null {
    const rest = text.slice(i);
    let written = /^\d{1,3}(?:[ \u00a0\u2009\u202f]\d{3})+(?:[.,]\d+)?/.exec(rest)?.[0] ?? "";
    if (!written || /\d/.test(rest[written.length]!)) written = /^[.,]?\d+(?:[.,]\d+)*/.exec(rest)?.[0] ?? "";
    const read = written && figures(written);
    if (!read) return null;
    const t: Token = { term: "", folded: "", start: i, end: i + written.length, figures: read };
    const dashes = /[-−]+$/.exec(text.slice(0, i));
    if (dashes && !isWord(text[dashes.index - 1])) {
      t.start--;
      t.figures = read.map((v) => -v);
    }
    const blank = /[ \u00a0\u2009\u202f]/.test(text[t.end]!) ? 1 : 0;
    const found = unit(text, t.end + blank, typed);
    if (found) {
      t.unit = found[0];
      t.end += blank + found[1];
    } else if (isWord(text[t.end])) return null;
    name(t);
    return t;
  }

  /**
   * Reads a text: parts of a word with hyphens, then the word. typed: somebody types it,
   * may write a unit sloppily, and has the parts alone.
   */
  function tokens(text: string, typed = false): Token[] {
    text = western(text).replace(/[٫٬،]/g, (c) => (c === "٫" ? decimal : c === "٬" ? " " : ",")); // as long as before
    const list: Token[] = [];
    let chain: Token[] = [];
    const join = (): void => {
      if (chain.length > 1 && !typed) {
        const word = chain.map((t) => t.folded).join("");
        if (word.length <= longestJoined)
          list.push({ term: stem(word), folded: word, start: chain[0]!.start, end: chain[chain.length - 1]!.end });
      }
      chain = [];
    };
    let before = " ";
    let hyphen = false;
    for (let i = 0; i < text.length; ) {
      const c = text[i]!;
      const figure = /[\d.,]/.test(c) && !hyphen && !isWord(before) && number(text, i, typed);
      if (figure) {
        join();
        list.push(figure);
        i = figure.end;
        before = " ";
        continue;
      }
      run.lastIndex = i;
      const written = run.exec(text)?.[0];
      if (!written) {
        hyphen = isHyphen(c) && isWord(before);
        if (!hyphen) join();
        before = c;
        i++;
        continue;
      }
      let word = fold(written.replace(/['’]/g, ""));
      if (rtl && tag === "ar") word = word.replace(/^([وفبك]?ال|لل)(?=..)/, "");
      const term = not.includes(word) ? not[0]! : stem(word);
      const t: Token = { term, folded: word, empty: empty.includes(word), start: i, end: i + written.length };
      if (!hyphen) join();
      list.push(t);
      chain.push(t);
      hyphen = false;
      i = t.end;
      before = written[written.length - 1]!;
    }
    join();
    shareUnits(text, list);
    return list;
  }

  return { stem, tokens };
}

function name(t: Token): void {
  const [first, second] = t.figures!;
  t.term = numberTerm(first!, t.unit);
  if (second !== undefined) t.other = numberTerm(second, t.unit);
}

/** A figure in the unit of its measure, with six digits; the small shift decides ties, which Go and a browser round differently. */
export const rounded = (v: number, u?: Measured): number => Number(((u ? (v + u[1]) * u[2] - u[3] : v) * (1 + 1e-12)).toPrecision(6));

/** The term of a figure. */
export function numberTerm(v: number, u?: Measured): string {
  v = rounded(v, u);
  if (v && (Math.abs(v) < 1e-6 || Math.abs(v) >= 1e15)) v = 0;
  return v + (u ? "~" + u[0] : "");
}

/** Gives numbers the unit of the one that follows close by: 13.1 to 14.6 V. */
function shareUnits(text: string, list: Token[]): void {
  let next: Token | undefined;
  for (const t of list.slice().reverse()) {
    if (!t.figures) continue;
    if (!t.unit && next?.unit && next.start - t.end <= 5 && !text.slice(t.end, next.start).includes("\n")) {
      t.unit = next.unit;
      name(t);
    }
    next = t;
  }
}
