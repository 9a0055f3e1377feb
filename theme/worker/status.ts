/** What a page and the worker say to each other. */

/** A page to the worker. */
export type Ask =
  /**
   * I am here: how do things stand? The edition is the one that the page has, its name and its day; job says
   * whether one is at hand.
   */
  | { do: "hello"; edition?: string; job?: boolean }
  /** Ask the host now. */
  | { do: "check" }
  /** From now on the newest edition that is here whole. A port that comes with it is told when it is so. */
  | { do: "take" };

/**
 * Why taking an edition stopped: the host does not answer; the phone has no room; the
 * browser does not store something for another reason; what the host has is no edition
 * that can be read.
 */
export type Stopped = "" | "host" | "room" | "store" | "edition";

/** The worker to a page, whenever something has changed. */
export interface Status {
  /** The name of the edition that is kept, or that is being taken while none is; "" of one without. */
  edition: string;
  /** Its HTML files, 0 before it is known, and how many of them are here. */
  pages: number;
  have: number;
  /** All its files are here. */
  whole: boolean;
  /** The edition that is kept whole has no such page: the host's is shown. */
  foreign: boolean;
  /** When the host last answered, in milliseconds; 0 for never. */
  checked: number;
  /** The name of a newer edition than the page's, here whole, a blank of one without; "" for none. */
  next: string;
  /** The edition that is being fetched while another one is kept, or that waits to be shown; "" for none. */
  coming: string;
  /** Something is being fetched. */
  busy: boolean;
  /** Why the last attempt stopped. */
  stopped: Stopped;
  /** Files that did not come as the manifest says. */
  failed: string[];
  /** An edition that is not trusted, and why. */
  refused: { edition: string; why: string } | null;
  /** The fingerprint of the key that signed what is kept. */
  by: string;
}
