/** The index on the phone, and its ranking: as render/search has them, where the reasons stand. */

import { numberTerm, reader, rounded, type Language, type Token } from "./search-text";

/** A segment as render/search writes it. */
export interface Segment {
  pages: [path: string, sheet: string, title: string, models: string, places: number, gone?: string][];
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
  /** What has superseded it. */
  gone?: string;
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
  /** It does not hold for the chosen model. */
  not: boolean;
}

type Range = [place: number, measure: string, min: number, max: number];

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
const hazardGain = 0.2;
const inherited = 0.35;
const sameWord = 0.9;
const longer = 0.75;
const longerYet = 0.5;
const oneSlip = 0.6;
const twoSlips = 0.4;
const inRange = 0.5;
const unitless = 0.5;
const anyRange = 0.3;
const rangeScore = 4;
const wholeTitle = 1.5;
const perPage = 3;
const mostWords = 30;
const longestWord = 40;

/** Digits are the characters from the blank to the closing brace without ", \ and |: this many end a number, the others are followed by more. */
const lastDigits = 60;
const moreDigits = 31;

/** Reads the numbers of a text one after the other, from a place on. */
function numbersOf(text: string, at = 0) {
  const digit = (): number => {
    const c = text.charCodeAt(at++);
    return c - 32 - +(c > 34) - +(c > 92) - +(c > 124);
  };
  const next = (): number => {
    let n = 0;
    for (let worth = 1; ; worth *= moreDigits) {
      const d = digit();
      n += d * worth;
      // A digit that is followed by others counts lastDigits more.
      if (d < lastDigits) return n;
    }
  };
  return { more: () => at < text.length, digit, next };
}

const hasDigit = /\d/;

/** A bit for each letter of a word: what one word has and another lacks costs a slip each. */
function lettersOf(word: string): number {
  let bits = 0;
  for (let i = 0; i < word.length; i++) bits |= 1 << word.charCodeAt(i) % 32;
  return bits;
}

/** What a query comes to at each place; own: a word of it stands there. */
type Sums = [best: Float64Array, lead: Float64Array, total: Float64Array, gained: Float64Array, own: Float64Array];

/** A place with its score is one number, of which the larger comes first: the score, then which place it is, from the last on. */
const mostPlaces = 2 ** 22; // with scores below 2 ** 31 such a number is exact

export interface Hits {
  readonly count: number;
  /** The first n. */
  first(n: number): Hit[];
}

/** What a query finds: the places, the words by which they are found, and those that stand for nothing. */
export interface Found extends Hits {
  terms: Set<string>;
  unknown: string[];
}

/**
 * The places found, the best first, no more than perPage of a page before the
 * others, and what does not hold for the model last, as far as they are asked for.
 */
function hitsOf(scores: Float64Array, places: Place[], model: string): Hits {
  const lists: Hit[][] = [[], [], [], []];
  const seen = new Map<Page, number>();
  let rest = scores.sort().length;
  return {
    count: rest,
    first(n) {
      while (rest && lists[0]!.length < n) {
        const place = places[mostPlaces - 1 - (scores[--rest]! % mostPlaces)]!;
        const { page } = place;
        const not = !!model && !!page.models[0] && !page.models.includes(model);
        const times = seen.get(page) ?? 0;
        seen.set(page, times + 1);
        lists[+(times >= perPage) + 2 * +not]!.push({ place, not });
      }
      return lists.flat().slice(0, n);
    },
  };
}

export class Index {
  places: Place[] = [];
  #reader;
  #textLengths: number[] = [];
  #titleLengths: number[] = [];
  #text!: number;
  #title!: number;
  #ranges: Range[] = [];
  /** Where the postings of a term stand: segment and list, in turn. */
  #lists = new Map<string, number[]>();
  #segments: { first: number; postings: string[] }[] = [];
  #decoded = new Map<string, Postings>();
  #terms: string[] = [];
  /** Terms without a digit, those of the synonyms among them, with their letters and lengths. */
  #words: string[] = [];
  #wordLetters!: Int32Array;
  #wordLengths!: Uint16Array;
  /** Sums of the query at hand, by place; all 0 between two queries. */
  #sums!: Sums;
  #synonyms: string[][][];
  #said: Set<string>;

  constructor(language: Language, synonyms: string[][]) {
    this.#reader = reader(language);
    this.#synonyms = synonyms.map((list) => list.map((text) => this.#reader.tokens(text, true).filter((t) => !t.empty).map((t) => t.term)));
    this.#said = new Set(this.#synonyms.flat(2));
  }

  tokens(text: string): Token[] {
    return this.#reader.tokens(text);
  }

  /** Takes a segment in. They come in their order. */
  add(s: Segment): void {
    const first = this.places.length;
    const { next } = numbersOf(s.lengths);
    let i = 0;
    for (const [path, sheet, title, models, count, gone] of s.pages) {
      const page: Page = { path, sheet, title, models: models ? models.split(" ") : [], gone };
      for (let at = 0; at < count; at++) {
        const [kind, id, mark, own] = s.places[i++]!.split("\t");
        this.places.push({ page, at, kind: kind!, id: id!, mark: mark!, title: own || title });
        this.#textLengths.push(next());
        this.#titleLengths.push(next());
      }
    }
    const segment = this.#segments.length;
    this.#segments.push({ first, postings: s.postings.split("|") });
    const r = s.ranges ?? [];
    for (let k = 0; k < r.length; k += 4)
      this.#ranges.push([first + (r[k] as number), ...r.slice(k + 1, k + 4)] as Range);
    let before = "";
    (s.terms.match(/[A-Z][^A-Z]*/g) ?? []).forEach((text, list) => {
      before = before.slice(0, text.charCodeAt(0) - 65) + text.slice(1);
      const known = this.#lists.get(before);
      if (known) known.push(segment, list);
      else this.#lists.set(before, [segment, list]);
    });
  }

  /** Call it when all segments are in. */
  finish(): void {
    const sum = (list: number[]): number => list.reduce((a, b) => a + b, 0);
    const n = Math.max(1, this.places.length);
    this.#text = Math.max(1, sum(this.#textLengths) / n);
    this.#title = Math.max(1, sum(this.#titleLengths) / n);
    this.#terms = [...this.#lists.keys()].sort();
    const said = [...this.#said].filter((term) => !this.#lists.has(term)).sort();
    this.#words = [...this.#terms, ...said].filter((term) => !hasDigit.test(term));
    this.#wordLetters = Int32Array.from(this.#words, lettersOf);
    this.#wordLengths = Uint16Array.from(this.#words, (term) => term.length);
    this.#sums = [1, 2, 3, 4, 5].map(() => new Float64Array(n)) as Sums;
  }

  #postings(term: string): Postings {
    let p = this.#decoded.get(term);
    if (p) return p;
    p = { count: 0, list: [] };
    const where = this.#lists.get(term) ?? [];
    for (let k = 0; k < where.length; k += 2) {
      const segment = this.#segments[where[k]!]!;
      const text = segment.postings[where[k + 1]!]!;
      const cut = text[0] === "~";
      const { more, digit, next } = numbersOf(text, cut ? 1 : 0);
      if (cut) p.count += next();
      for (let place = segment.first - 1; more(); ) {
        const n = next();
        place += (n >> 1) + 1;
        p.list.push(place, n & 1 ? digit() : 1);
        if (!cut) p.count++;
      }
    }
    this.#decoded.set(term, p);
    return p;
  }

  #has = (term: string): boolean => this.#lists.has(term);

  /** Ranks places for a query; terms are those that it may stand for. */
  find(query: string, model: string): Found {
    const terms = new Set<string>();
    const unknown: string[] = [];
    const [best, lead, total, gained, own] = this.#sums;
    const found: number[] = [];
    /** How many words of each title are asked for. */
    const titled = new Uint8Array(this.places.length);
    let all = 0;
    const groups = this.#read(query, unknown);
    for (const choices of groups) {
      // Places that have something of the word, and pages whose head has.
      const touched: number[] = [];
      const led: number[] = [];
      let worth = 0;
      for (const c of choices) {
        worth = Math.max(worth, this.#choose(c, touched, led, (term, i) => terms.has(term) || titled[i]!++));
        for (const term of c.terms) terms.add(term);
      }
      all += worth;
      const add = (i: number, score: number): void => {
        if (!gained[i] && !total[i]) found.push(i);
        total[i]! += score;
        gained[i]! += worth;
      };
      for (const first of led) {
        const { page } = this.places[first]!;
        for (let i = first + 1; this.places[i]?.page === page; i++) {
          const score = inherited * lead[first]!;
          if (best[i]! >= score) continue;
          if (best[i]! > 0) own[i] = 1;
          best[i] = 0;
          add(i, score);
        }
        lead[first] = 0;
      }
      for (const i of touched)
        if (best[i]! > 0) {
          own[i] = 1;
          add(i, best[i]!);
          best[i] = 0;
        }
    }
    const scores: number[] = [];
    for (const i of found) {
      const length = this.#titleLengths[i]!;
      if (own[i]) scores.push(Math.floor(total[i]! * (all && gained[i]! / all || 1) * (length >= Math.min(2, groups.length) && titled[i]! >= length ? wholeTitle : 1) * 1e6 + 0.5) * mostPlaces + mostPlaces - 1 - i);
      total[i] = gained[i] = own[i] = 0;
    }
    return { ...hitsOf(Float64Array.from(scores), this.places, model), terms, unknown };
  }

  #rarity(count: number): number {
    return Math.floor(4096 * Math.log(1 + (this.places.length - count + 0.5) / (count + 0.5)) + 0.5) / 4096;
  }

  #choose(c: Choice, touched: number[], led: number[], titles: (term: string, place: number) => void): number {
    const [best, lead] = this.#sums;
    const raise = (i: number, score: number, head: number): void => {
      if (score > best[i]!) {
        if (!best[i]) touched.push(i);
        best[i] = score;
      }
      if (head > lead[i]! && !this.places[i]!.at) {
        if (!lead[i]) led.push(i);
        lead[i] = head;
      }
    };
    if (c.within) {
      for (const r of this.#ranges) if (c.within(r)) raise(r[0], c.share * rangeScore, 0);
      return 0;
    }
    let worth = 0;
    const n = c.terms.length;
    if (!c.terms.every(this.#has)) return 0;
    const sums = new Map<number, [count: number, score: number, head: number]>();
    for (const term of c.terms) {
      const { count, list } = this.#postings(term);
      const rarity = this.#rarity(count);
      worth += rarity;
      for (let k = 0; k < list.length; k += 2) {
        const i = list[k]!;
        const at = list[k + 1]!;
        let y = 0;
        if (at & 4) {
          titles(term, i);
          y = titleGain / (1 - normTitle + (normTitle * this.#titleLengths[i]!) / this.#title);
        }
        if (at & 8) y += leadGain;
        let x = y + (at & 3) / (1 - normText + (normText * this.#textLengths[i]!) / this.#text);
        if (at & 16) x += namesGain;
        if (at & 32) x += hazardGain;
        const score = (rarity * x) / (saturation + x);
        const head = (rarity * y) / (saturation + y);
        if (n === 1) {
          raise(i, c.share * score, c.share * head);
          continue;
        }
        const [times, scores, heads] = sums.get(i) ?? [0, 0, 0];
        sums.set(i, [times + 1, scores + score, heads + head]);
      }
    }
    for (const [i, [k, score, head]] of sums) if (k === n) raise(i, (c.share * score) / n, (c.share * head) / n);
    return (c.share * worth) / n;
  }

  /** The choices of each word; unknown takes the words that stand for nothing. */
  #read(query: string, unknown: string[]): Choice[][] {
    const read = this.#reader.tokens(query, true);
    const naming = read.filter((t) => !t.empty);
    const tokens = naming[0] ? naming : read;
    const meant = tokens.map((t, i) => (t.figures ? this.#numbers(t) : this.#word(t, i === tokens.length - 1 && t.end === query.length)));
    for (let i = 0; i + 1 < tokens.length; i++) {
      const a = tokens[i]!;
      const b = tokens[i + 1]!;
      if (!a.folded || !b.folded) continue;
      const term = this.#reader.stem(a.folded + b.folded);
      if (this.#has(term)) for (const list of [meant[i]!, meant[i + 1]!]) list.push({ terms: [term], share: longerYet });
    }
    this.#mean(tokens, meant);
    meant.forEach((choices, i) => {
      const word = query.slice(tokens[i]!.start, tokens[i]!.end);
      if (!choices[0] && word[1]) unknown.push(word); // texts are not searched for a digit
    });
    return meant.filter((choices) => choices[0]);
  }

  #numbers(t: Token): Choice[] {
    const choices: Choice[] = [];
    const { unit } = t;
    const add = (term: string, share: number): void => {
      if (this.#has(term)) choices.push({ terms: [term], share });
    };
    [t.term, t.other].forEach((term, k) => {
      if (!term) return;
      const figure = t.figures![k]!;
      const v = rounded(figure, unit);
      add(term, 1);
      if (unit && !this.#has(term))
        for (const near of this.#terms) {
          const [n, measure] = near.split("~");
          // As far off as the last digit that is written.
          if (measure === unit[0] && Math.abs(+n! - v) < unit[2] / 10 ** (String(figure).split(".")[1] ?? "").length / 2) add(near, sameWord);
        }
      if (unit) add(numberTerm(figure), unitless);
      else add(term + "~", 1);
      if (unit || term.length > 1)
        choices.push({ terms: [], share: unit ? inRange : anyRange, within: ([, measure, min, max]) => (unit ? measure.replace("~", "") === unit[0] : measure[0] !== "~") && min <= v && v <= max });
    });
    return choices;
  }

  #word(t: Token, last: boolean): Choice[] {
    const choices: Choice[] = [];
    const stands = this.#has(t.term);
    const known = stands || this.#said.has(t.term);
    if (known) choices.push({ terms: [t.term], share: 1 });
    if ((last && t.folded[1]) || (!stands && t.folded[2]))
      for (const term of this.#beginning(t.folded)) choices.push({ terms: [term], share: known ? longerYet : longer });
    if (choices[0] || hasDigit.test(t.folded)) return choices;
    for (let at = 3; at < t.folded.length - 2; at++) {
      const terms = [t.folded.slice(0, at), t.folded.slice(at)].map(this.#reader.stem);
      if (terms.every(this.#has)) choices.push({ terms, share: oneSlip });
    }
    if (choices[0]) return choices;
    const [near, slips] = this.#near(t.term, last);
    return near.map((term) => ({ terms: [term], share: slips > 1 ? twoSlips : oneSlip }));
  }

  #mean(tokens: Token[], meant: Choice[][]): void {
    const plain = meant.map((list) => list.slice());
    for (const list of this.#synonyms)
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

  #beginning(text: string): string[] {
    return this.#terms
      .filter((term) => term.startsWith(text))
      .sort((a, b) => a.length - b.length)
      .slice(0, mostWords);
  }

  #near(word: string, unfinished: boolean): [terms: string[], slips: number] {
    let fewest = word.length < 4 || word.length > longestWord ? 0 : word.length < 8 ? 1 : 2;
    let terms: string[] = [];
    if (!fewest) return [terms, 0];
    const letters = lettersOf(word);
    const [wordLetters, wordLengths] = [this.#wordLetters, this.#wordLengths];
    for (let k = 0; k < wordLengths.length; k++) {
      const length = wordLengths[k]!;
      if (length < word.length - fewest || (!unfinished && length > word.length + fewest)) continue;
      // Each letter that the term has not is a slip.
      let lacking = letters & ~wordLetters[k]!;
      let slips = 0;
      for (; lacking && slips <= fewest; slips++) lacking &= lacking - 1;
      if (slips > fewest) continue;
      const term = this.#words[k]!;
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

const far = 99;
let rows = [0, 1, 2].map(() => new Int16Array(64));

/**
 * Counts wrong, missing and added letters and swaps of neighbours, up to most+1.
 * Unfinished: from the word to the nearest beginning of the term. Only the cells
 * of the table are filled that can be so near.
 */
function distance(word: string, term: string, most: number, unfinished: boolean): number {
  const length = word.length;
  const wide = Math.min(term.length, length + most);
  if (rows[0]!.length <= wide + 1) rows = rows.map(() => new Int16Array(2 * wide + 2));
  let [before, last, row] = rows as [Int16Array, Int16Array, Int16Array];
  for (let j = 0; j <= wide; j++) last[j] = j;
  for (let i = 1; i <= length; i++) {
    const from = Math.max(1, i - most);
    const to = Math.min(wide, i + most);
    row[from - 1] = from === 1 ? i : far;
    let least = row[from - 1]!;
    if (to > 0 && to === i + most) last[to] = far;
    for (let j = from; j <= to; j++) {
      let d = Math.min(row[j - 1]! + 1, last[j]! + 1, last[j - 1]! + (word.charCodeAt(i - 1) === term.charCodeAt(j - 1) ? 0 : 1));
      if (i > 1 && j > 1 && word.charCodeAt(i - 1) === term.charCodeAt(j - 2) && word.charCodeAt(i - 2) === term.charCodeAt(j - 1))
        d = Math.min(d, before[j - 2]! + 1);
      row[j] = d;
      if (d < least) least = d;
    }
    if (least > most + 1) return most + 1;
    [before, last, row] = [last, row, before];
  }
  if (!unfinished) return term.length > wide || wide < length - most ? most + 1 : last[wide]!;
  let least = far;
  for (let j = Math.max(0, length - most); j <= wide; j++) least = Math.min(least, last[j]!);
  return least;
}
