/**
 * Where a page's blocks begin in its source. A page at the desk says it in comments
 * before the blocks; they are taken out, so that a block that only moved in its source
 * is the same block.
 */

/** The line of each block, by the block's element. */
export type Lines = Map<Element, number>;

/** Takes the comments out of a page. */
export function takeLines(page: Element): Lines {
  const lines: Lines = new Map();
  const walker = document.createTreeWalker(page, NodeFilter.SHOW_COMMENT);
  const comments: Comment[] = [];
  while (walker.nextNode()) comments.push(walker.currentNode as Comment);
  for (const c of comments) {
    const block = c.nextElementSibling;
    if (block && !lines.has(block)) lines.set(block, Number(c.data));
    c.remove();
  }
  return lines;
}

/** The block in which a line of the source stands: the last one that begins at it or before. */
export function blockAt(line: number, lines: Lines): Element | null {
  let found: Element | null = null;
  let begins = 0;
  for (const [block, at] of lines) {
    if (at > line || at < begins || block.matches(".repeated")) continue;
    found = block;
    begins = at;
  }
  return found;
}
