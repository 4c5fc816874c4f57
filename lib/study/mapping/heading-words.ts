/** What a column of an export may hold, in the words of this module. */
export type Concept =
  | "participant"
  | "arm"
  | "sex"
  | "age"
  | "plays"
  | "writes"
  | "height"
  | "mass"
  | "handicap"
  | "gym"
  | "occasion"
  | "date"
  | "time"
  | "hand"
  | "position"
  | "handle"
  | "device"
  | "trial"
  | "swing"
  | "force"
  | "speed"
  | "value"
  | "club"
  | "unit"
  | "status"
  | "note"
  | "minutes"
  | "completed"
  | "kind"
  | "summary"
  | "other";

/** A heading in plain letters: no accents, case or marks; words and numbers apart. */
export function plainHeading(text: string): string {
  return text
    .replace(/([\p{Ll}])([\p{Lu}])/gu, "$1 $2")
    .normalize("NFKD")
    .replace(/[\u0300-\u036f]/g, "")
    .toLowerCase()
    .replace(/ß/g, "ss")
    .replace(/ø/g, "o")
    .replace(/æ/g, "ae")
    .replace(/ł/g, "l")
    .replace(/([a-z])(\d)/g, "$1 $2")
    .replace(/(\d)([a-z])/g, "$1 $2")
    .replace(/[^a-z0-9#%]+/g, " ")
    .trim();
}

const words = (list: string) => new RegExp(`(?:^| )(?:${list})(?= |$)`);

/**
 * Words of headings in English, German, French, Spanish, Italian, Portuguese, Swedish and Dutch, the
 * more telling first. Common practice, no source.
 */
const vocabulary: readonly (readonly [Concept, RegExp])[] = [
  [
    "other",
    words(
      "ball|balle|bola|pelota|palla|boll|bal|ballgeschwindigkeit|ballspeed|bollhastighet|balsnelheid|carry|launch|spin|smash",
    ),
  ],
  [
    "note",
    words(
      "notes?|comments?|remarks?|bemerkung(?:en)?|kommentar|anmerkung(?:en)?|remarques?|commentaires?|notas?|observacion(?:es)?|comentarios?|osservazion[ei]|comment[oi]|observac(?:ao|oes)|anteckning(?:ar)?|opmerking(?:en)?",
    ),
  ],
  [
    "date",
    words(
      "date|datum|fecha|testdatum|messdatum|datetime|timestamp|zeitstempel|test day|testtag|jour du test|testdag",
    ),
  ],
  // "Data" is Italian and Portuguese for a date, but English for anything else when not alone.
  ["date", /^data(?: (?:del |da |do )?(?:test|teste|prova|visita|avaliacao|misura))?$/],
  ["unit", words("units?|einheit|unite|unidad(?:es)?|unita|unidade|enhet|eenheid")],
  ["status", words("status|valid|gueltig|gultig|valide|valido|estado|statut|quality|etat")],
  [
    "plays",
    words(
      "plays?|playing (?:side|hand)|golf (?:side|hand)|swing side|side of play|spielseite|schlagseite|spielt|spielhand|spielrichtung|joue|cote de jeu|juega|lado de juego|hand of play|gioca|lato di gioco|joga|lado de jogo|spelar|spelsida|speelt|speelkant",
    ),
  ],
  [
    "writes",
    words(
      "handedness|writes?(?: with)?|writing hand|dominan(?:t|ce)(?: hand)?|haendigkeit|handigkeit|schreibhand|dominante hand|main (?:dominante|d ecriture)|lateralite|mano (?:dominante|de escritura)|mao dominante|skrivhand|schrijfhand|lateralidad|ecriture",
    ),
  ],
  [
    "gym",
    words(
      "gym|gym training|strength training|krafttraining|musculation|gimnasio|entrenamiento de fuerza",
    ),
  ],
  ["handicap", words("handicap|hcp|hdcp|hcpi|handicap index")],
  [
    "handle",
    words(
      "handle(?: setting| mm)?|span|grip (?:span|width|position)|griffweite|griffstellung|griffposition|ecartement|apertura|position de (?:la )?poignee|span mm",
    ),
  ],
  [
    "kind",
    words("test type|test art|type of test|measure|parameter|type|variable|exercise|testart|typ"),
  ],
  [
    "speed",
    words(
      "chs|club ?head speed|club head speed|clubhead speed|club speed|swing speed|head speed|schlaegerkopfgeschwindigkeit|schlagerkopfgeschwindigkeit|schlaegergeschwindigkeit|kopfgeschwindigkeit|geschwindigkeit|vitesse(?: de (?:la )?tete(?: de (?:club|canne))?)?|velocidad(?: de (?:la )?cabeza(?: del palo)?)?|velocita(?: (?:della )?testa(?: del bastone)?)?|velocidade(?: da cabeca(?: do taco)?)?|klubbhuvudhastighet|klubbhastighet|hastighet|klubhoofdsnelheid|snelheid|speed|tempo",
    ),
  ],
  [
    "device",
    words(
      "device|dynamometer|geraet|gerat|appareil|dispositivo|instrument|dynamometre|dinamometro|radar|messgeraet|equipo|aparato|strumento|apparat|apparaat",
    ),
  ],
  [
    "arm",
    words(
      "arm|group|gruppe|groupe|grupo|gruppo|grupp|groep|braccio|studienarm|bras|brazo|allocation|treatment|treatment group|training group|interventionsgruppe|cohort|study group|bedingung|condition",
    ),
  ],
  [
    "participant",
    words(
      "participants?|player|golfer|subject|subj|id|pid|code|spieler|spielerin|proband(?:in)?|probandennummer|probandencode|vp|vpn|teilnehmer(?:in)?|kennung|joueur|joueuse|sujet|golfeur|participante|jugador|jugadora|sujeto|golfista|codigo|codice|giocatore|giocatrice|soggetto|partecipante|jogador|jogadora|sujeito|spelare|deltagare|forsoksperson|golfare|speler|deelnemer|proefpersoon|athlete|athlet|atleta|kuerzel|kurzel",
    ),
  ],
  ["sex", words("sex|gender|geschlecht|sexe|genre|sexo|genero|sesso|genere|kon|geslacht")],
  ["age", words("age|alter|edad|eta|idade|alder|leeftijd|age years|lebensalter")],
  [
    "height",
    words(
      "height|stature|groesse|grosse|koerpergroesse|korpergrosse|koerperhoehe|taille|talla|estatura|altura|altezza|statura|langd|kroppslangd|lengte",
    ),
  ],
  [
    "hand",
    words(
      "grip hand|hand grip side|tested hand|test hand|hand tested|getestete hand|testhand|main testee|mano evaluada",
    ),
  ],
  [
    "force",
    words(
      "grip(?: strength| force)?|hand ?grip(?: strength)?|strength|force(?: de (?:prehension|serrage))?|griffkraft|handkraft|greifkraft|kraft|maximalkraft|prehension|fuerza(?: de (?:agarre|prension))?|agarre|prension|forza(?: di (?:presa|prensione))?|presa|prensione|forca(?: de preensao)?|preensao|greppstyrka|handgreppsstyrka|handstyrka|styrka|knijpkracht|handknijpkracht|grijpkracht|kracht|dynamometrie|dinamometria|peak force|spitzenkraft",
    ),
  ],
  [
    "mass",
    words(
      "mass|body mass|weight|body weight|bodyweight|gewicht|koerpergewicht|korpergewicht|masse|koerpermasse|poids|peso|masa|peso corporal|massa|vikt|kroppsvikt|lichaamsgewicht",
    ),
  ],
  [
    "minutes",
    words(
      "minutes|min|duration|dauer|duree|duracion|minuten|minuti|minutos|durata|duracao|minuter|duur",
    ),
  ],
  ["completed", words("completed|done|absolviert|erledigt|effectuee|completada|completado")],
  [
    "position",
    words(
      "position|posture|haltung|stellung|stance|posicion|postura|koerperposition|testposition|korperhaltung|koerperhaltung|placement|posizione|posicao|lage|stallning|kroppsstallning|houding|positie",
    ),
  ],
  [
    "occasion",
    words(
      "occasion|visits?|session|time ?point|test ?session|phase|zeitpunkt|messzeitpunkt|mzp|termin|testtermin|visite|seance|visita|sesion|momento|week|woche|semaine|semana|wave|besuch|untersuchung|messung|evaluation|evaluacion|temps|test(?: no| nr)?|prueba|fase|toma|sessione|sessao|avaliacao|valutazione|rilevazione|settimana|besok|tillfalle|matning|vecka|bezoek|meting|meetmoment",
    ),
  ],
  [
    "club",
    words("club|schlaeger|schlager|palo|golfschlaeger|canne|bastone|taco|klubba|golfklubba"),
  ],
  [
    "hand",
    words(
      "hand|side|seite|main|cote|lado|mano|mao|lato|sida|zijde|kant|hand side|tested hand|getestete hand",
    ),
  ],
  [
    "trial",
    words(
      "trials?|attempts?|rep|reps|repetition|squeeze|versuch|wiederholung|wdh|essai|tentative|intento|repeticion|ensayo|durchgang|try|trial no|nr|no|#|numero|num|prova|tentativo|ripetizione|tentativa|repeticao|forsok|poging|herhaling",
    ),
  ],
  ["swing", words("swings?|schwung|schlag|shots?|stroke|coup|golpe|hit|colpo|tacada|sving|slag")],
  [
    "summary",
    words(
      "mean|average|avg|mittelwert|mw|moyenne|media|promedio|sd|stdev|std|standardabweichung|ecart type|desviacion|max|maximum|maxi|best|bester|bestwert|meilleur|mejor|min|minimum|sum|summe|somme|suma|total|diff(?:erence)?|differenz|diferencia|change|cv|percent|rank|median|mediana|massimo|minimo|maximo|somma|soma|totale|medel|medelvarde|genomsnitt|gemiddelde|totaal|%",
    ),
  ],
  ["time", words("time|uhrzeit|zeit|heure|hora|clock")],
  [
    "value",
    words(
      "value|result|reading|peak|wert|messwert|ergebnis|valeur|resultat|mesure|valor|resultado|medida|measurement|score|valore|risultato|resultado|varde|matvarde|waarde|resultaat",
    ),
  ],
];

/** What a heading seems to name; undefined when no word of it is known. */
export function conceptOf(heading: string): Concept | undefined {
  const { words: plain } = headingParts(heading);
  return vocabulary.find(([, pattern]) => pattern.test(plain))?.[0];
}

/** A heading without its unit, and the unit. */
export interface HeadingParts {
  /** The words in plain letters. */
  readonly words: string;
  /** The unit as the heading has it; "" where there is none. */
  readonly unit: string;
}

const unitWords =
  /^(?:kg|kgs|kgf|kp|n|newton|lb|lbs|lbf|pounds?|kn|dan|oz|psi|kpa|mph|mi\/h|ft\/s|fps|m\/s|m\.s-1|m s-1|ms-1|km\/h|kmh|kph|cm|mm|m|in|inch|inches|years?|yrs?|jahre|ans|anos|min|minutes|%)$/i;

/** Whether a text is a unit of force, speed, length or mass. */
export function isUnitWord(text: string): boolean {
  return unitWords.test(text) && !/^(?:years?|yrs?|jahre|ans|anos|min|minutes|%)$/i.test(text);
}

/** Takes a heading apart: "Griffkraft [kg]", "speed_mph", "Weight in lbs". */
export function headingParts(heading: string): HeadingParts {
  const bracket = /[([{]\s*([^()[\]{}]{1,12}?)\s*[)\]}]/.exec(heading);
  if (bracket?.[1] && unitWords.test(bracket[1].trim())) {
    const rest = heading.replace(bracket[0], " ");
    return { words: plainHeading(rest), unit: bracket[1].trim().toLowerCase() };
  }
  const tail = /^(.*?)(?:[\s_,/-]+(?:in[\s_]+|en[\s_]+)?)([A-Za-z/.]+(?:-1)?)$/.exec(
    heading.trim(),
  );
  const last = tail?.[2] ?? "";
  const alone = /^(?:m|n|in|min)$/.test(last) && !/^(?:N)$/.test(last);
  if (tail?.[1] && unitWords.test(last) && !alone)
    return { words: plainHeading(tail[1]), unit: last.toLowerCase() };
  return { words: plainHeading(heading), unit: "" };
}
