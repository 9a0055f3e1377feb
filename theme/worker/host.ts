/** Asks the host, which may fall silent in the middle of an answer, on a line that stays. */

/**
 * How long the host may send nothing at all to who installs. It counts from the last byte of any
 * answer: on a slow line one file may have to wait until others are here.
 */
const silence = 25_000;

/** When the host last sent something. */
let heard = 0;

/** What the host sends next; an error, and the line is given up, where it is silent for too long. */
function orSilence<T>(what: Promise<T>, line: AbortController): Promise<T> {
  const since = Date.now();
  let timer: number | undefined;
  const silent = new Promise<never>((_, fail) => {
    const look = (): void => {
      const left = Math.max(since, heard) + silence - Date.now();
      if (left > 0) {
        timer = setTimeout(look, left);
        return;
      }
      fail(new Error("silence"));
      line.abort();
    };
    look();
  });
  return Promise.race([what, silent])
    .then((it) => {
      heard = Date.now();
      return it;
    })
    .finally(() => clearTimeout(timer));
}

/** Fetches as the browser does, but waits for no host that is silent. */
export async function ask(address: string, init: RequestInit): Promise<Response> {
  const line = new AbortController();
  const r = await orSilence(fetch(address, { ...init, signal: line.signal }), line);
  if (!r.body) return r;
  const reader = r.body.getReader() as ReadableStreamDefaultReader<Uint8Array<ArrayBuffer>>;
  const body = new ReadableStream<Uint8Array<ArrayBuffer>>({
    pull: async (c) => {
      const { done, value } = await orSilence(reader.read(), line);
      if (done) c.close();
      else c.enqueue(value);
    },
    cancel: (why) => reader.cancel(why),
  });
  return new Response(body, r);
}
