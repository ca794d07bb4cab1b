// What every page says about itself: the link, the planner, what was refused, the way between pages.
// Spanish and Italian are from memory, not checked by a native cook.

export const frame = {
  'page.hearth': { en: 'hearth', es: 'horno', it: 'forno' },
  'page.pass': { en: 'pass', es: 'pase', it: 'pass' },
  'page.fire': { en: 'fire', es: 'fuego', it: 'fuoco' },
  'page.watch': { en: 'probe', es: 'sonda', it: 'sonda' },
  'page.wall': { en: 'wall', es: 'pared', it: 'parete' },
  'page.tickets': { en: 'tickets', es: 'comandas', it: 'comande' },
  'page.people': { en: 'people', es: 'equipo', it: 'persone' },
  'page.closing': { en: 'closing', es: 'cierre', it: 'chiusura' },
  'page.replay': { en: 'the night again', es: 'repasar la noche', it: 'rivedi la sera' },
  'page.day': { en: 'the day', es: 'el día', it: 'la giornata' },
  'page.lots': { en: 'lots', es: 'lotes', it: 'lotti' },
  'page.records': { en: 'records', es: 'registro', it: 'registro' },
  'page.settings': { en: 'this screen', es: 'esta pantalla', it: 'questo schermo' },
  'page.pages': { en: 'pages', es: 'páginas', it: 'pagine' },
  'page.wipe': { en: 'wiping', es: 'limpieza', it: 'pulizia' },
  pages: { en: 'pages', es: 'páginas', it: 'pagine' },
  wipe: { en: 'wipe the screen', es: 'limpiar la pantalla', it: 'pulisci lo schermo' },
  'wipe.now': {
    en: 'Wipe. The night counts on.',
    es: 'Limpia. La noche sigue.',
    it: 'Pulisci. La sera va avanti.',
  },
  'wipe.open': {
    en: 'Tap two corners to go on, or wait {seconds} s.',
    es: 'Toca dos esquinas para seguir, o espera {seconds} s.',
    it: 'Tocca due angoli per continuare, o aspetta {seconds} s.',
  },
  'wipe.corner': { en: 'corner', es: 'esquina', it: 'angolo' },
  'link.lost': {
    en: 'No link since {clock}, counting on.',
    es: 'Sin red desde las {clock}, sigue contando.',
    it: 'Senza rete dalle {clock}, conta ancora.',
  },
  'link.starting': {
    en: 'Asking the board for the night.',
    es: 'Pidiendo la noche al tablero.',
    it: 'Chiedo la sera al quadro.',
  },
  'link.waits': {
    en: '{count} told here wait.',
    es: 'Esperan {count} avisos de aquí.',
    it: 'Aspettano {count} avvisi da qui.',
  },
  'link.wait': { en: '1 told here waits.', es: 'Espera 1 aviso de aquí.', it: 'Aspetta 1 avviso da qui.' },
  'planner.starting': {
    en: 'The planner is starting.',
    es: 'El planificador arranca.',
    it: 'Il pianificatore si avvia.',
  },
  'planner.down': {
    en: 'Plan of {clock}: the planner is starting again.',
    es: 'Plan de las {clock}: el planificador vuelve a arrancar.',
    it: 'Piano delle {clock}: il pianificatore riparte.',
  },
  'planner.closed': {
    en: 'The planner has stopped. Plan of {clock}.',
    es: 'El planificador paró. Plan de las {clock}.',
    it: 'Il pianificatore è fermo. Piano delle {clock}.',
  },
  'planner.none': {
    en: 'No planner runs here.',
    es: 'Aquí no hay planificador.',
    it: 'Qui non c’è pianificatore.',
  },
  'planner.behind': {
    en: 'Plan of {clock}; a newer one is being made.',
    es: 'Plan de las {clock}; se hace otro.',
    it: 'Piano delle {clock}; se ne prepara un altro.',
  },
  'planner.noplan': { en: 'No plan yet.', es: 'Aún no hay plan.', it: 'Ancora nessun piano.' },
  'keeps.none': {
    en: 'Nothing is kept here: do not reload.',
    es: 'Aquí no se guarda nada: no recargues.',
    it: 'Qui non si conserva nulla: non ricaricare.',
  },
  reads_only: {
    en: 'You read only: nothing you tap is told.',
    es: 'Solo lectura: lo que toques no se anota.',
    it: 'Sola lettura: quel che tocchi non si segna.',
  },
  refused: {
    en: 'Not taken, told {clock}: {words}',
    es: 'No aceptado, dicho a las {clock}: {words}',
    it: 'Non accettato, detto alle {clock}: {words}',
  },
  'refused.seen': { en: 'seen', es: 'visto', it: 'visto' },
  left_out: { en: 'Not in the plan: {words}', es: 'Fuera del plan: {words}', it: 'Fuori dal piano: {words}' },
} as const;
