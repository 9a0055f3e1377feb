/** The index on the phone, and its ranking: as render/search has them, where the reasons stand. */

import { inMeasure, numberTerm, reader, rounded, type Language, type Token } from "./search-text";

/** A segment as render/search writes it. */
export interface Segment {
  pages: [path: string, sheet: string, title: string, models: string, places: number][];
  places: string[];
  lengths: string;
  terms: string;
  postings: string;
  ranges?: (string | number)[];
}

export interface Page {
  path: string;
  sheet: string;
  title: string;
  /** Numbers of the models that it holds for; none: all. */
  models: string[];
  first: number;
}

export interface Place {
  page: Page;
  at: number;
  kind: string;
  id: string;
  mark: string;
  title: string;
}

export interface Hit {
  place: Place;
  score: number;
  /** It does not hold for the chosen model. */
  not: boolean;
}

interface Range {
  place: number;
  measure: string;
  min: number;
  max: number;
}

/** Postings of a term: place and fields, in turn. */
interface Postings {
  count: number;
  list: number[];
}

/** What a word of a query may stand for. */
interface Choice {
  terms: string[];
  share: number;
  within?: (r: Range) => boolean;
}

const saturation = 1.2;
const normText = 0.6;
const normTitle = 0.3;
const titleGain = 5;
const leadGain = 2.5;
const namesGain = 2;
const inherited = 0.35;
const sameWord = 0.9;
const longer = 0.75;
const oneSlip = 0.6;
const twoSlips = 0.4;
const inRange = 0.5;
const unitless = 0.5;
const rangeScore = 4;
const perPage = 3;
const mostWords = 30;
const longestWord = 40;

const digits = " !#$%&'()*+,-./0123456789:;<=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[]^_`abcdefghijklmnopqrstuvwxyz{}";
const lastDigits = 60;
const valueOf = new Uint8Array(128);
for (let i = 0; i < digits.length; i++) valueOf[digits.charCodeAt(i)] = i;

/** Reads the numbers of a text one after the other. */
class Numbers {
  at = 0;
  constructor(private text: string) {}
  get more(): boolean {
    return this.at < this.text.length;
  }
  digit(): number {
    return valueOf[this.text.charCodeAt(this.at++)]!;
  }
  next(): number {
    let n = 0;
    for (let worth = 1; ; worth *= digits.length - lastDigits) {
      const d = this.digit();
      if (d < lastDigits) return n + d * worth;
      // A digit that is followed by others counts lastDigits more.
      n += d * worth;
    }
  }
}

const hasDigit = /\d/;

/** A bit for each letter of a word: what one word has and another lacks costs a slip each. */
function lettersOf(word: string): number {
  let bits = 0;
  for (let i = 0; i < word.length; i++) bits |= 1 << word.charCodeAt(i) % 32;
  return bits;
}

function countBits(n: number): number {
  let count = 0;
  for (; n; n &= n - 1) count++;
  return count;
}

export class Index {
  places: Place[] = [];
  private reader;
  private textLengths: number[] = [];
  private titleLengths: number[] = [];
  private text = 1;
  private title = 1;
  private ranges: Range[] = [];
  /** Where the postings of a term stand: segment and list, in turn. */
  private lists = new Map<string, number[]>();
  private segments: { first: number; postings: string[] }[] = [];
  private decoded = new Map<string, Postings>();
  private terms: string[] = [];
  /** Terms without a digit, those of the synonyms among them, with their letters. */
  private words: [term: string, letters: number][] = [];
  private synonyms: string[][][];
  private said = new Set<string>();

  constructor(language: Language, synonyms: string[][]) {
    this.reader = reader(language);
    this.synonyms = synonyms.map((list) => list.map((text) => this.tokens(text).filter((t) => !t.joined).map((t) => t.term)));
    for (const term of this.synonyms.flat(2)) this.said.add(term);
  }

  tokens(text: string): Token[] {
    return this.reader.tokens(text);
  }

  /** Takes a segment in. They come in their order. */
  add(s: Segment): void {
    const first = this.places.length;
    const lengths = new Numbers(s.lengths);
    let i = 0;
    for (const [path, sheet, title, models, count] of s.pages) {
      const page: Page = { path, sheet, title, models: models ? models.split(" ") : [], first: this.places.length };
      for (let at = 0; at < count; at++) {
        const [kind, id, mark, own] = s.places[i++]!.split("\t");
        this.places.push({ page, at, kind: kind!, id: id!, mark: mark!, title: own || title });
        this.textLengths.push(lengths.next());
        this.titleLengths.push(lengths.next());
      }
    }
    const segment = this.segments.length;
    this.segments.push({ first, postings: s.postings.split("|") });
    const r = s.ranges ?? [];
    for (let k = 0; k < r.length; k += 4)
      this.ranges.push({ place: first + (r[k] as number), measure: r[k + 1] as string, min: r[k + 2] as number, max: r[k + 3] as number });
    let before = "";
    (s.terms.match(/[A-Z][^A-Z]*/g) ?? []).forEach((text, list) => {
      before = before.slice(0, text.charCodeAt(0) - 65) + text.slice(1);
      const known = this.lists.get(before);
      if (known) known.push(segment, list);
      else this.lists.set(before, [segment, list]);
    });
  }

  /** Call it when all segments are in. */
  finish(): void {
    const sum = (list: number[]): number => list.reduce((a, b) => a + b, 0);
    const n = Math.max(1, this.places.length);
    this.text = Math.max(1, sum(this.textLengths) / n);
    this.title = Math.max(1, sum(this.titleLengths) / n);
    this.terms = [...this.lists.keys()].sort();
    const said = [...this.said].filter((term) => !this.lists.has(term)).sort();
    this.words = [...this.terms, ...said].filter((term) => !hasDigit.test(term)).map((term) => [term, lettersOf(term)]);
  }

  private postings(term: string): Postings {
    let p = this.decoded.get(term);
    if (p) return p;
    p = { count: 0, list: [] };
    const where = this.lists.get(term) ?? [];
    for (let k = 0; k < where.length; k += 2) {
      const segment = this.segments[where[k]!]!;
      const text = segment.postings[where[k + 1]!]!;
      const numbers = new Numbers(text);
      const cut = text[0] === "~";
      if (cut) {
        numbers.at = 1;
        p.count += numbers.next();
      }
      for (let place = segment.first - 1; numbers.more; ) {
        const n = numbers.next();
        place += (n >> 1) + 1;
        p.list.push(place, n & 1 ? numbers.digit() : 1);
        if (!cut) p.count++;
      }
    }
    this.decoded.set(term, p);
    return p;
  }

  private has = (term: string): boolean => this.lists.has(term);

  /** Ranks places for a query; terms are those that it may stand for. */
  find(query: string, model: string): { hits: Hit[]; terms: Set<string>; unknown: string[] } {
    const terms = new Set<string>();
    const unknown: string[] = [];
    const n = this.places.length;
    const total = new Float64Array(n);
    const gained = new Float64Array(n);
    const own = new Uint8Array(n);
    let all = 0;
    for (const choices of this.read(query, unknown)) {
      const best = new Float64Array(n);
      const lead = new Float64Array(n);
      let worth = 0;
      for (const c of choices) {
        worth = Math.max(worth, this.choose(c, best, lead));
        for (const term of c.terms) terms.add(term);
      }
      all += worth;
      for (let i = 0; i < n; i++) {
        let score = best[i]!;
        if (score > 0) own[i] = 1;
        const p = this.places[i]!;
        if (p.at > 0) score = Math.max(score, inherited * lead[p.page.first]!);
        if (score > 0) {
          total[i]! += score;
          gained[i]! += worth;
        }
      }
    }
    const found: number[] = [];
    for (let i = 0; i < n; i++)
      if (own[i]) {
        total[i] = Math.floor(((total[i]! * gained[i]!) / all) * 1e6 + 0.5);
        found.push(i);
      }
    return { hits: this.order(found, total, model), terms, unknown };
  }

  private order(found: number[], total: Float64Array, model: string): Hit[] {
    found.sort((a, b) => total[b]! - total[a]! || a - b);
    const lists: Hit[][] = [[], [], [], []];
    const seen = new Map<Page, number>();
    for (const i of found) {
      const place = this.places[i]!;
      const { models } = place.page;
      const not = model !== "" && models.length > 0 && !models.includes(model);
      const before = seen.get(place.page) ?? 0;
      seen.set(place.page, before + 1);
      lists[(before < perPage ? 0 : 1) + (not ? 2 : 0)]!.push({ place, score: total[i]!, not });
    }
    return lists.flat();
  }

  private rarity(count: number): number {
    return Math.floor(4096 * Math.log(1 + (this.places.length - count + 0.5) / (count + 0.5)) + 0.5) / 4096;
  }

  private choose(c: Choice, best: Float64Array, lead: Float64Array): number {
    if (c.within) {
      for (const r of this.ranges) if (c.within(r)) best[r.place] = Math.max(best[r.place]!, c.share * rangeScore);
      return 0;
    }
    let worth = 0;
    const counts = new Map<number, number>();
    const sums: number[] = [];
    const leads: number[] = [];
    const n = c.terms.length;
    for (const term of c.terms) {
      if (!this.has(term)) return 0;
      const { count, list } = this.postings(term);
      const rarity = this.rarity(count);
      worth += rarity;
      for (let k = 0; k < list.length; k += 2) {
        const i = list[k]!;
        const at = list[k + 1]!;
        let y = 0;
        if (at & 4) y = titleGain / (1 - normTitle + (normTitle * this.titleLengths[i]!) / this.title);
        if (at & 8) y += leadGain;
        let x = y + (at & 3) / (1 - normText + (normText * this.textLengths[i]!) / this.text);
        if (at & 16) x += namesGain;
        const score = (rarity * x) / (saturation + x);
        const led = (rarity * y) / (saturation + y);
        if (n === 1) {
          best[i] = Math.max(best[i]!, c.share * score);
          lead[i] = Math.max(lead[i]!, c.share * led);
          continue;
        }
        counts.set(i, (counts.get(i) ?? 0) + 1);
        sums[i] = (sums[i] ?? 0) + score;
        leads[i] = (leads[i] ?? 0) + led;
      }
    }
    for (const [i, k] of counts)
      if (k === n) {
        best[i] = Math.max(best[i]!, (c.share * sums[i]!) / n);
        lead[i] = Math.max(lead[i]!, (c.share * leads[i]!) / n);
      }
    return (c.share * worth) / n;
  }

  /** The choices of each word; unknown takes the words that stand for nothing. */
  private read(query: string, unknown: string[]): Choice[][] {
    const tokens = this.reader.tokens(query, true).filter((t) => !t.joined);
    const meant = tokens.map((t, i) => (t.figures ? this.numbers(t) : this.word(t, i === tokens.length - 1 && t.end === query.length)));
    for (let i = 0; i + 1 < tokens.length; i++) {
      const a = tokens[i]!;
      const b = tokens[i + 1]!;
      if (!a.word || !b.word) continue;
      const term = this.reader.stem(a.word + b.word);
      if (this.has(term)) for (const list of [meant[i]!, meant[i + 1]!]) list.push({ terms: [term], share: 1 });
    }
    this.mean(tokens, meant);
    meant.forEach((choices, i) => {
      if (!choices.length) unknown.push(query.slice(tokens[i]!.start, tokens[i]!.end));
    });
    return meant.filter((choices) => choices.length);
  }

  private numbers(t: Token): Choice[] {
    const choices: Choice[] = [];
    [t.term, t.other].forEach((term, k) => {
      if (!term) return;
      if (this.has(term)) choices.push({ terms: [term], share: 1 });
      if (!t.unit) {
        for (const more of this.beginning(term + "~")) choices.push({ terms: [more], share: 1 });
        return;
      }
      const v = rounded(inMeasure(t.figures![k]!, t.unit));
      const measure = t.unit[0];
      choices.push({ terms: [], share: inRange, within: (r) => r.measure === measure && r.min <= v && v <= r.max });
      const bare = numberTerm(t.figures![k]!);
      if (this.has(bare)) choices.push({ terms: [bare], share: unitless });
    });
    return choices;
  }

  private word(t: Token, last: boolean): Choice[] {
    const choices: Choice[] = [];
    if (this.has(t.term) || this.said.has(t.term)) choices.push({ terms: [t.term], share: 1 });
    if ((last && t.word.length >= 2) || (!choices.length && t.word.length >= 3))
      for (const term of this.beginning(t.word)) if (term !== t.term) choices.push({ terms: [term], share: longer });
    if (choices.length || hasDigit.test(t.word)) return choices;
    const [near, slips] = this.near(t.word, last);
    return near.map((term) => ({ terms: [term], share: slips > 1 ? twoSlips : oneSlip }));
  }

  private mean(tokens: Token[], meant: Choice[][]): void {
    const plain = meant.map((list) => list.slice());
    for (const list of this.synonyms)
      list.forEach((text, k) => {
        for (let i = 0; i + text.length <= tokens.length; i++) {
          const share = phrase(plain.slice(i, i + text.length), text);
          if (!share) continue;
          list.forEach((terms, other) => {
            if (other === k || !terms.length) return;
            for (let at = i; at < i + text.length; at++) meant[at]!.push({ terms, share: share * sameWord });
          });
        }
      });
  }

  private beginning(text: string): string[] {
    let from = 0;
    for (let to = this.terms.length; from < to; ) {
      const middle = (from + to) >> 1;
      if (this.terms[middle]! < text) from = middle + 1;
      else to = middle;
    }
    let to = from;
    while (to < this.terms.length && this.terms[to]!.startsWith(text)) to++;
    return this.terms
      .slice(from, to)
      .sort((a, b) => a.length - b.length)
      .slice(0, mostWords);
  }

  private near(word: string, unfinished: boolean): [terms: string[], slips: number] {
    let fewest = word.length < 4 || word.length > longestWord ? 0 : word.length < 8 ? 1 : 2;
    let terms: string[] = [];
    if (!fewest) return [terms, 0];
    const letters = lettersOf(word);
    for (const [term, has] of this.words) {
      if (term.length < word.length - fewest || (!unfinished && term.length > word.length + fewest)) continue;
      if (countBits(letters & ~has) > fewest) continue;
      const d = distance(word, term, fewest, unfinished);
      if (d > fewest) continue;
      if (d < fewest) [terms, fewest] = [[], d];
      terms.push(term);
    }
    return [terms.sort((a, b) => a.length - b.length).slice(0, mostWords), fewest];
  }
}

/** How surely words of a query are those of a text; 0: they are not. */
function phrase(meant: Choice[][], text: string[]): number {
  let share = 1;
  text.forEach((term, i) => {
    let best = 0;
    for (const c of meant[i]!) if (c.terms.length === 1 && c.terms[0] === term && c.share !== longer) best = Math.max(best, c.share);
    share = Math.min(share, best);
  });
  return share;
}

/**
 * Counts wrong, missing and added letters and swaps of neighbours, up to most+1.
 * Unfinished: from the word to the nearest beginning of the term.
 */
export function distance(word: string, term: string, most: number, unfinished: boolean): number {
  const wide = unfinished ? Math.min(term.length, word.length + most + 1) : term.length;
  let before = new Int16Array(wide + 1);
  let last = new Int16Array(wide + 1);
  let row = new Int16Array(wide + 1);
  for (let j = 0; j <= wide; j++) last[j] = j;
  for (let i = 1; i <= word.length; i++) {
    row[0] = i;
    let least = i;
    for (let j = 1; j <= wide; j++) {
      let d = Math.min(row[j - 1]! + 1, last[j]! + 1, last[j - 1]! + (word[i - 1] === term[j - 1] ? 0 : 1));
      if (i > 1 && j > 1 && word[i - 1] === term[j - 2] && word[i - 2] === term[j - 1]) d = Math.min(d, before[j - 2]! + 1);
      row[j] = d;
      least = Math.min(least, d);
    }
    if (least > most + 1) return most + 1;
    [before, last, row] = [last, row, before];
  }
  return unfinished ? Math.min(...last) : last[wide]!;
}
