/** Takes packs apart, as they come. */

type Bytes = Uint8Array<ArrayBuffer>;

function join(a: Bytes, b: Bytes): Bytes {
  const both = new Uint8Array(a.length + b.length);
  both.set(a);
  both.set(b, a.length);
  return both;
}

/** Some hosts say of a pack that it is compressed, and the browser has unpacked it then. */
async function plain(body: ReadableStream<Bytes>): Promise<ReadableStream<Bytes>> {
  const reader = body.getReader();
  let begin: Bytes = new Uint8Array();
  while (begin.length < 2) {
    const { done, value } = await reader.read();
    if (done) break;
    begin = join(begin, value);
  }
  const whole = new ReadableStream<Bytes>({
    start: (c) => c.enqueue(begin),
    pull: async (c) => {
      const { done, value } = await reader.read();
      if (done) c.close();
      else c.enqueue(value);
    },
    cancel: (why) => reader.cancel(why),
  });
  return begin[0] === 0x1f && begin[1] === 0x8b ? whole.pipeThrough(new DecompressionStream("gzip")) : whole;
}

/** The files of a pack, each when its last byte is there. */
export async function* unpack(body: ReadableStream<Bytes>): AsyncGenerator<[path: string, data: Bytes]> {
  const reader = (await plain(body)).getReader();
  let rest: Bytes = new Uint8Array();
  /** What many files begin with; the first is what the others do. */
  const heads = [rest];
  for (;;) {
    const line = rest.indexOf(10);
    if (line >= 0) {
      const [, length, head = 0, path] = /^(\d+)(?:\+(\d+))?(?: (.+))?$/.exec(new TextDecoder().decode(rest.subarray(0, line))) ?? [];
      if (!length) throw new Error("no pack");
      const end = line + 1 + Number(length);
      if (rest.length >= end) {
        const data = rest.slice(line + 1, end);
        if (path) yield [path, join(heads[+head]!, data)];
        else heads.push(data);
        rest = rest.subarray(end);
        continue;
      }
    }
    const { done, value } = await reader.read();
    if (done) return;
    rest = join(rest, value);
  }
}
