// Acts, places and hazards as a cook says them across a kitchen. Spanish and Italian are from memory, not checked
// by a native cook: whoever cooks in them should read these first. Acts are orders, seven letters at the most,
// for they are read at 2 m.

export const acts = {
  'act.dress': { en: 'dress', es: 'monta', it: 'condire' },
  'act.launch': { en: 'in', es: 'mete', it: 'inforna' },
  'act.load': { en: 'load', es: 'carga', it: 'carica' },
  'act.turn': { en: 'turn', es: 'gira', it: 'gira' },
  'act.spin': { en: 'spin', es: 'rota', it: 'ruota' },
  'act.flip': { en: 'flip', es: 'voltea', it: 'volta' },
  'act.move': { en: 'move', es: 'mueve', it: 'sposta' },
  'act.pull': { en: 'out', es: 'saca', it: 'sforna' },
  'act.cut': { en: 'cut', es: 'corta', it: 'taglia' },
  'act.flame': { en: 'flame', es: 'llama', it: 'fiamma' },

  'place.front': { en: 'front', es: 'delante', it: 'davanti' },
  'place.front.left': { en: 'front left', es: 'delante izq.', it: 'davanti a sin.' },
  'place.front.right': { en: 'front right', es: 'delante der.', it: 'davanti a des.' },
  'place.middle': { en: 'middle', es: 'centro', it: 'centro' },
  'place.middle.left': { en: 'middle left', es: 'centro izq.', it: 'centro a sin.' },
  'place.middle.right': { en: 'middle right', es: 'centro der.', it: 'centro a des.' },
  'place.back': { en: 'back', es: 'fondo', it: 'in fondo' },
  'place.back.left': { en: 'back left', es: 'fondo izq.', it: 'fondo a sin.' },
  'place.back.right': { en: 'back right', es: 'fondo der.', it: 'fondo a des.' },

  'round.third': { en: 'a third round', es: 'un tercio de vuelta', it: 'un terzo di giro' },
  'round.quarter': { en: 'a quarter round', es: 'un cuarto de vuelta', it: 'un quarto di giro' },
  'round.half': { en: 'half round', es: 'media vuelta', it: 'mezzo giro' },
  'round.degrees': { en: '{degrees}° round', es: '{degrees}° de vuelta', it: '{degrees}° di giro' },

  'hazard.hot_metal': { en: 'hot metal: gripper', es: 'metal caliente: pinza', it: 'metallo rovente: pinza' },
  'hazard.fat_flares': { en: 'fat flares: keep level', es: 'grasa: no inclinar', it: 'grasso: tieni dritto' },
  'hazard.raw_juices': {
    en: 'raw: own tongs, wash',
    es: 'crudo: otra pinza, lavar',
    it: 'crudo: altra pinza, lava',
  },
  'hazard.allergy': {
    en: 'allergy: ask, clean tools',
    es: 'alergia: pregunta, limpia',
    it: 'allergia: chiedi, pulisci',
  },
  'hazard.flame': { en: 'flame: face back', es: 'llama: cara atrás', it: 'fiamma: viso indietro' },
  'hazard.relight': { en: 'gas off, wait 5 min', es: 'cierra gas, 5 min', it: 'chiudi gas, 5 min' },
  'hazard.reach_over': { en: 'over hot food: go round', es: 'no pases por encima', it: 'non passare sopra' },
  'hazard.long_handle': {
    en: 'long peel: look behind',
    es: 'pala larga: mira atrás',
    it: 'pala lunga: guarda dietro',
  },
} as const;
