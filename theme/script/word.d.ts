/**
 * The words of the page: the bundler puts the text of the key "group.name" in
 * the place of word.group.name.
 */

type Key = keyof (typeof import("../messages/en/page.json"));
type Group = Key extends `${infer G}.${string}` ? G : never;

declare const word: {
  readonly [G in Group]: { readonly [K in Key as K extends `${G}.${infer Name}` ? Name : never]: string };
};

/** Whether the words are English ones in a page of another language. Then each is an isolate. */
declare const borrowed: boolean;

/** Whether the words are written from right to left. */
declare const rtl: boolean;

/** Whether the handbook is one file, in which a page finds all others. */
declare const bound: boolean;

/** Whether the page is shown while it is written. */
declare const desk: boolean;
