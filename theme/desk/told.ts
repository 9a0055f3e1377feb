/** What the desk tells a page; render/desk writes it. */

export interface Remark {
  severity: "error" | "warning" | "advice";
  /** file:line:column, as an editor takes it. */
  place: string;
  /** 0 where the whole file is meant. */
  line: number;
  message: string;
  mend: string;
  id: string;
  /** A page that is made from the file, by its path in the handbook; none of a file that no page shows. */
  page?: string;
}

export interface Told {
  /** The page as it is now; none where it is gone. */
  html?: string;
  /** It is the last good form of a source that has an error now. */
  stale?: boolean;
  /** Where a page went that is gone, by its path and title. */
  to?: { page: string; title: string };
  /** Remarks on the page's own source, on other files, and how many the latter are. */
  here: Remark[];
  others: Remark[];
  elsewhere: number;
  /** How many of all are errors. */
  errors: number;
  /** How a phone gets in; at the desk's own machine alone. */
  phone?: { address: string; code: string };
}
