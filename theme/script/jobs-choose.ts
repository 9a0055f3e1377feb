/** Asks which of two states of a job shall stand, where a record came of one that is known. */

import { button, make, one } from "./dom";

declare global {
  interface Window {
    /**
     * Asks in an item of the list of what came: how far each state goes, and a key for it. Either
     * answer can be taken back. say puts the job's name in a text, replace gives the way back.
     */
    benchleafChoose?(item: HTMLElement, say: (text: string) => (string | Node)[], ours: string, theirs: string, later: boolean, replace: () => Promise<() => void>): void;
  }
}

window.benchleafChoose = (item, say, ours, theirs, later, replace) => {
  const mark = (text: string, marked: boolean): string => (marked ? `${text} (${word.jobs.later})` : text);
  const [here, there] = [mark(word.jobs.keepHere, !later), mark(word.jobs.keepThere, later)];
  const ask = (): void => {
    const keys = make("p");
    keys.className = "keys";
    const two = [button(here, () => answer(word.jobs.keptOurs, ask)), button(there, () => void take())];
    keys.append(...(later ? two.reverse() : two));
    item.replaceChildren(...say(word.jobs.knownOther), make("p", `${here}: ${ours}`), make("p", `${there}: ${theirs}`), keys);
  };
  const answer = (text: string, back: () => void): void => {
    const undo = button(word.job.undo, () => {
      back();
      one("button", item)!.focus();
    });
    item.replaceChildren(...say(text), " ", undo);
    undo.focus();
  };
  const take = async (): Promise<void> => {
    const back = await replace();
    answer(word.jobs.tookIn, () => {
      ask();
      back();
    });
  };
  ask();
};
