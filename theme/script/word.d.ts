/**
 * The words of the page. The bundler puts the text of the key "group.name" in
 * the place of word.group.name, and fails where there is none.
 */
declare const word: Readonly<Record<string, Readonly<Record<string, string>>>>;
