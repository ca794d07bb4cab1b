type Random = (bytes: Uint8Array<ArrayBuffer>) => Uint8Array<ArrayBuffer>;

/** An id of this device's own making. `crypto.randomUUID` is not there on plain http, these bytes are. */
export function newId(random: Random = (bytes) => crypto.getRandomValues(bytes)): string {
  return [...random(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
