// Letting a device and its cook in, and this device's own settings.

export const session = {
  'session.code': { en: 'the code of eight digits', es: 'el código de ocho cifras', it: 'il codice di otto cifre' },
} as const;
