/**
 * Whether an edition is to be trusted: what a signature file, manifest.sig, says
 * of a manifest, and whose key this phone has kept. The package sign of the build
 * says the same, to the letter; docs/signing.md is the form.
 */

/** What is known from the edition that is held: who signed it, and when. */
export type Pinned = { key: string; signed: string };

export type Trust =
  /** pin is what to keep from then on, null while nobody signs; by is the key's fingerprint. */
  | { ok: true; pin: Pinned | null; by?: string }
  | { ok: false; why: "unsigned" | "other-key" | "changed" | "older" };

const maxSize = 10_000;
const maxBefore = 16;

/** The beginning of a key of P-256 with its point in full, as SubjectPublicKeyInfo in DER (RFC 5480). */
const keyBegins = "3059301306072a8648ce3d020106082a8648ce3d03010703420004";

type Bytes = Uint8Array<ArrayBuffer>;

/** A key, and its signature of the key that took its place; the last one's is that of the manifest. */
type Signer = { key: Bytes; value: Bytes };

const ecdsa = { name: "ECDSA", namedCurve: "P-256", hash: "SHA-256" };

const hex = (b: Bytes): string => Array.from(b, (v) => v.toString(16).padStart(2, "0")).join("");
const from64 = (text: string): Bytes => Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
const to64 = (b: Bytes): string => btoa(String.fromCharCode(...b));

/** The bytes of all parts, one after the other. */
async function join(...parts: BlobPart[]): Promise<ArrayBuffer> {
  return new Blob(parts).arrayBuffer();
}

/**
 * Reads a signature file; what is not written as the build writes it throws. So no
 * two readers can take the same bytes in different ways.
 */
function read(file: ArrayBuffer): { signed: string; signers: Signer[] } {
  const text = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(file);
  const { signed, key, signature, before } = JSON.parse(text);
  const signers: Signer[] = [...before, { key, signature }].map((s) => ({ key: from64(s.key), value: from64(s.signature) }));
  const written = signers.map((s) => ({ key: to64(s.key), signature: to64(s.value) }));
  const last = written.pop()!;
  const again = JSON.stringify({ form: 1, key: last.key, signed, signature: last.signature, before: written }, null, 1) + "\n";
  const time = new Date(signed).toISOString().replace(".000Z", "Z");
  if (again !== text || time !== signed || time.length !== 20 || signers.length > maxBefore + 1 || signers.some((s) => !hex(s.key).startsWith(keyBegins) || s.key.length !== 91 || s.value.length !== 64)) {
    throw new Error("no signature file");
  }
  return { signed, signers };
}

async function holds(s: Signer, message: ArrayBuffer): Promise<boolean> {
  const key = await crypto.subtle.importKey("spki", s.key, ecdsa, false, ["verify"]);
  return crypto.subtle.verify(ecdsa, key, s.value, message);
}

/** Throws where not every signature of the file holds. */
async function check(manifest: ArrayBuffer, signed: string, signers: Signer[]): Promise<void> {
  for (const [i, s] of signers.entries()) {
    const next = signers[i + 1];
    const message = next ? join("benchleaf key 1\n", next.key) : join(`benchleaf edition 1\n${signed}\n`, manifest);
    if (!(await holds(s, await message))) throw new Error("a signature does not hold");
  }
}

/** The first 128 bits of SHA-256 of a key, as somebody reads them out. */
async function fingerprint(key: Bytes): Promise<string> {
  const sum = hex(new Uint8Array(await crypto.subtle.digest("SHA-256", key)));
  return sum.slice(0, 32).match(/.{4}/g)!.join(" ");
}

/**
 * Judges an edition by its manifest and its signature file, which is null where
 * the host has none. Who has no pin takes the key that comes first; who has one
 * takes no other, but one that it names, or that is named by one that it names, and
 * no edition that was signed before the one that is held.
 */
export async function trusted(manifest: ArrayBuffer, signature: ArrayBuffer | null, pinned: Pinned | null): Promise<Trust> {
  if (!signature) return pinned ? { ok: false, why: "unsigned" } : { ok: true, pin: null };
  try {
    if (signature.byteLength > maxSize) throw new Error("too large");
    const { signed, signers } = read(signature);
    await check(manifest, signed, signers);
    if (pinned && !signers.some((s) => to64(s.key) === pinned.key)) return { ok: false, why: "other-key" };
    if (pinned && signed < pinned.signed) return { ok: false, why: "older" };
    const { key } = signers[signers.length - 1]!;
    return { ok: true, pin: { key: to64(key), signed }, by: await fingerprint(key) };
  } catch {
    return { ok: false, why: "changed" };
  }
}
