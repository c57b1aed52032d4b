// Digests for reading, and counted anew where the browser can.

/** Eight figures a group, as they are read aloud and compared by eye. */
export function inGroups(sha256: string): string[] {
  return sha256.match(/.{1,8}/g) ?? [];
}

/** SHA-256 of bytes, hex; none where the browser has no way to count it (a page without TLS that is not local). */
export async function digestOf(bytes: ArrayBuffer): Promise<string | undefined> {
  const { subtle } = globalThis.crypto as { subtle?: SubtleCrypto };
  if (!subtle) return undefined;
  const digest = new Uint8Array(await subtle.digest('SHA-256', bytes));
  return [...digest].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
