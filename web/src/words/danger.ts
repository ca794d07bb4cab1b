// What is shown in danger, in place of every plan. The English is that of the program's own rules (a test compares).
// Spanish and Italian are from memory, not checked by a native cook: have yours read them before anything else.

export const danger = {
  'page.danger': { en: 'alarm, fan, fire', es: 'alarma, fuego', it: 'allarme, fuoco' },
  'danger.title': { en: 'Say what is so', es: 'Di qué pasa', it: 'Di’ che succede' },
  'danger.carbon_monoxide': { en: 'alarm, people ill', es: 'alarma, malestar', it: 'allarme, malori' },
  'danger.fire': { en: 'fire', es: 'fuego', it: 'incendio' },
  'danger.coals_behind_a_door': { en: 'coals behind a door', es: 'brasas tras la puerta', it: 'braci a porta chiusa' },
  'danger.extraction_off': { en: 'extraction off', es: 'sin extracción', it: 'senza aspirazione' },
  'danger.over': { en: '{danger}: over', es: '{danger}: pasó', it: '{danger}: finito' },
  'danger.sure': { en: 'yes, over', es: 'sí, pasó', it: 'sì, finito' },
  'danger.since': { en: 'since {clock}', es: 'desde las {clock}', it: 'dalle {clock}' },
  'danger.to': { en: 'say more, or over', es: 'decir más, o pasó', it: 'di’ altro, o finito' },
  'out.first': {
    en: 'Fuel off if it can be reached on the way. Everyone out. Call the emergency number from outside. Nobody goes back in until the fire service or a licensed person says so.',
    es: 'Corta el combustible si queda de paso. Todos fuera. Llama a emergencias desde fuera. Nadie vuelve a entrar hasta que lo diga un bombero o alguien autorizado.',
    it: 'Chiudi il combustibile se è di passaggio. Tutti fuori. Chiama i soccorsi da fuori. Nessuno rientra finché non lo dice un vigile del fuoco o una persona abilitata.',
  },
  'out.gas': { en: 'Shut the gas now. ', es: 'Cierra el gas ya. ', it: 'Chiudi il gas ora. ' },
  'out.fan': { en: 'extraction on, ', es: 'extracción en marcha, ', it: 'aspirazione accesa, ' },
  'out.carbon_monoxide': {
    en: 'Carbon monoxide alarm, or people feel ill. {first}',
    es: 'Alarma de monóxido, o alguien se siente mal. {first}',
    it: 'Allarme di monossido, o qualcuno sta male. {first}',
  },
  'out.fire': {
    en: 'Fire that is not the oven\'s. No water on fat. The house\'s own fire drill now. {first}',
    es: 'Fuego que no es del horno. Sin agua sobre la grasa. Sigue el plan de incendios de la casa. {first}',
    it: 'Fuoco che non è del forno. Niente acqua sul grasso. Segui il piano antincendio della casa. {first}',
  },
  'out.coals_behind_a_door': {
    en: '{gas}Live coals behind a shut door give off carbon monoxide. Open the door and stand back from the mouth, {fan}coals into a lidded metal bin outdoors. If an alarm sounds or anybody feels ill: out.',
    es: '{gas}Brasas vivas tras una puerta cerrada dan monóxido. Abre la puerta y apártate de la boca, {fan}brasas a un cubo metálico con tapa, al aire libre. Si suena una alarma o alguien se siente mal: fuera.',
    it: '{gas}Braci vive dietro una porta chiusa danno monossido. Apri la porta e stai lontano dalla bocca, {fan}braci in un bidone metallico con coperchio, all’aperto. Se suona un allarme o qualcuno sta male: fuori.',
  },
  'out.extraction_off': {
    en: '{gas}The extraction is off. Nothing new goes in: take out what is in and let the fire go down. Carbon monoxide cannot be smelt. An alarm sounds or anybody feels ill: fuel off, everyone out.',
    es: '{gas}La extracción está parada. No entra nada más: saca lo que hay y deja bajar el fuego. El monóxido no se huele. Si suena una alarma o alguien se siente mal: corta el combustible, todos fuera.',
    it: '{gas}L’aspirazione è ferma. Non entra altro: togli quel che c’è e lascia calare il fuoco. Il monossido non si sente. Se suona un allarme o qualcuno sta male: chiudi il combustibile, tutti fuori.',
  },
  'fire.gas_shut': { en: 'gas is shut', es: 'gas cerrado', it: 'gas chiuso' },
  'fire.shut_now': { en: 'Shut the gas now.', es: 'Cierra el gas ya.', it: 'Chiudi il gas ora.' },
} as const;
