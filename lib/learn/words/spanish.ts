import { fixedText } from "../../show/wording.js";
import type { WorkedStep } from "../../show/worked-steps.js";
import { sharedShift, twoSqueezes } from "../opening-pictures.js";
import type { LessonWords } from "../tasks.js";
import { option, type PartOfLessons } from "./lesson-text.js";
import type { ModelWords } from "./model-words.js";
import type { ReplyWords } from "./reply-words.js";

/** Spanish numbers have a decimal comma. */
const text = (value: number, digits: number) => fixedText(value, digits).replace(".", ",");
const one = (value: number) => text(value, 1);
const two = (value: number) => text(value, 2);
const three = (value: number) => text(value, 3);
const list = (
  says: string,
  values: readonly number[],
  text: (value: number) => string,
): WorkedStep => ({
  says,
  golfers: values.map((_, i) => String.fromCharCode(65 + i)),
  values: values.map(text),
});

/** The exercises of lesson 1 in Spanish. */
export const spanish: Pick<
  LessonWords,
  "squeeze-typical-error" | "squeeze-detectable-change" | "squeeze-best-or-mean"
> = {
  "squeeze-typical-error": {
    asks: "error típico del primer y segundo intento",
    prompt:
      "Tome el primer y el segundo intento de sus golfistas. ¿Cuál es el error típico de un intento?",
    hints: {
      question:
        "¿En qué se diferencian dos intentos de un golfista separados por un minuto: en la fuerza o en el error?",
      idea: "Las diferencias segundo − primero contienen solo error, una vez de cada intento. Un desplazamiento común a todos no es error y se resta con la media.",
      recipe:
        "Segundo − primero para cada golfista, la desviación típica de estas diferencias con n − 1, y se divide por √2.",
    },
    slips: {
      notDivided: [
        "raíz de 2",
        "Esa es la desviación típica de las diferencias. Una diferencia contiene el error de dos intentos.",
      ],
      divisorN: [
        "n − 1",
        "Ha dividido por n. La media se estimó con los mismos golfistas: divida por n − 1.",
      ],
      halved: [
        "raíz de 2",
        "Ha dividido la desviación típica por 2. Los errores se suman como cuadrados: divida por √2.",
      ],
      squared: ["cuadrado", "Eso es una varianza, en kgf². El error es su raíz."],
      people: [
        "golfistas, no error",
        "Esa es la desviación típica entre golfistas, no el error de los intentos de uno.",
      ],
      shift: [
        "media, no dispersión",
        "Esa es la diferencia media: un desplazamiento común a todos. El error es la dispersión alrededor.",
      ],
      shiftKept: [
        "desplazamiento común",
        "Ha usado √(Σd² / 2n), que cuenta el desplazamiento común como error: reste primero la diferencia media y divida por n − 1.",
      ],
    },
    steps: ({ value, facts: { differences, shift, sd, n } }) => [
      list("Segundo − primero para cada golfista (kgf):", differences, one),
      `Su media es ${two(shift)} kgf: este desplazamiento es común a todos y no es error.`,
      `Su desviación típica, con n − 1 = ${n - 1}, es ${three(sd)} kgf.`,
      `Dos intentos contienen dos errores: ${three(sd)} / √2 = ${two(value)} kgf.`,
    ],
    meaning: ({ value }) =>
      `En 95 de 100 casos un intento de estos golfistas está a menos de ${two(1.96 * value)} kgf del nivel propio del golfista.`,
  },
  "squeeze-detectable-change": {
    asks: "cambio mínimo detectable (95 %) de la media de tres intentos",
    prompt:
      "Tome ahora los tres intentos. Su error típico es la raíz del cuadrado medio del error de una tabla golfistas × intentos. ¿Cuál es el cambio mínimo detectable (95 %) de un golfista que se mide antes y después con la media de tres intentos?",
    hints: {
      question: "¿Cuántas lecturas hay en el valor de una prueba y cuántas pruebas en un cambio?",
      idea: "La media de tres tiene 1/√3 del error de un intento. Un cambio es la diferencia de dos pruebas: su error es √2 veces mayor.",
      recipe: "1,96 × √2 × (error típico de un intento) / √3.",
    },
    slips: {
      oneSqueeze: [
        "un intento",
        "Eso vale para un intento en cada prueba. La media de tres tiene menos error.",
      ],
      dividedBy3: ["raíz de 3", "Tres intentos reducen el error √3 veces, no 3 veces."],
      level90: ["nivel", "Ese es el cambio detectable del 90 %: su factor es 1,645."],
      oneTest: [
        "raíz de 2",
        "Las dos pruebas tienen error: el error de un cambio es √2 veces el de una prueba.",
      ],
      errorOnly: ["error, no cambio", "Ese es el error típico de un intento."],
      noFactor: ["nivel", "El error del cambio es correcto. Falta el factor 1,96 del 95 %."],
      shiftKept: [
        "desplazamiento común",
        "Su error es la desviación típica combinada de los intentos de cada golfista. Cuenta como error el desplazamiento común de un intento a otro: reste también las medias de las tres columnas.",
      ],
    },
    steps: ({ value, facts: { error, ofMean, ofChange } }) => [
      `El error típico de un intento, de los tres, es ${three(error)} kgf.`,
      `La media de tres tiene el error ${three(error)} / √3 = ${three(ofMean)} kgf.`,
      `Un cambio es la diferencia de dos medias así: √2 × ${three(ofMean)} = ${three(ofChange)} kgf.`,
      `El 95 % de los cambios de golfistas que no cambiaron está a menos de 1,96 × ${three(ofChange)} = ${two(value)} kgf de cero.`,
    ],
    meaning: ({ value }) =>
      `Un golfista de este grupo cuya media de tres sube más de ${two(value)} kgf probablemente ha cambiado. Una subida menor puede ser error de medida.`,
  },
  "squeeze-best-or-mean": {
    asks: "ganancia aparente al pasar de la media al mejor intento",
    prompt:
      "Un entrenador toma la media de los tres intentos en primavera y el mejor de tres en otoño. Sus golfistas aprietan las dos veces exactamente como en la tabla. ¿Qué ganancia media aparente produce el cambio de regla?",
    hints: {
      question: "¿Puede el mejor de tres intentos ser menor que su media?",
      idea: "El mejor es la media más un error favorable. El cambio de regla lo da a todos los golfistas, aunque nadie haya cambiado.",
      recipe: "Para cada golfista, el mayor de los tres − su media; después la media de todos.",
    },
    slips: {
      sign: [
        "signo",
        "El mejor nunca está por debajo de la media: la ganancia tiene el otro signo.",
      ],
      oneGolfer: ["un golfista", "Ese es solo el golfista A. Tome la media de todos."],
      percent: ["porcentaje, no kgf", "Eso es un porcentaje de la media."],
      range: ["mejor y peor", "Eso es mejor − peor. La primera prueba fue la media."],
    },
    steps: ({ value, facts: { gains, n } }) => [
      list("Mejor − media de cada golfista (kgf):", gains, two),
      `La media de estas ${n} ganancias es ${two(value)} kgf.`,
    ],
    meaning: ({ value }) =>
      `El informe mostraría una ganancia de ${two(value)} kgf aunque ningún golfista cambió: use la misma regla en todas las visitas.`,
  },
};

/** What every exercise says, in Spanish. */
export const spanishReplies: ReplyWords = {
  exercise: "Ejercicio.",
  wanted: (unit, digits) => {
    const places = `${digits} decimal${digits === 1 ? "" : "es"}`;
    return unit ? `Respuesta en ${unit}, con ${places}.` : `Respuesta con ${places}.`;
  },
  right: "Correcto.",
  notYet: (kind) => `Todavía no: ${kind}.`,
  hint: "Pista:",
  solution: "La solución, paso a paso:",
  noAnswer: "Todavía no hay respuesta.",
  notNumber: (unit) =>
    `La respuesta no es un número: escriba 1,4${unit === "" ? "" : ` o «1,4 ${unit}»`}.`,
  gap: (typed) => `Hay un espacio dentro del número «${typed}». Escríbalo sin él.`,
  twoPoints: (typed) => `«${typed}» tiene dos signos decimales. Escriba el número otra vez.`,
  twoValues: (first, second) =>
    `Son dos valores, ${first} y ${second}: una coma separa valores en una celda. Escriba ${first}.${second}, o "${first},${second}" entre comillas.`,
  unit: (asked, given) =>
    `Se pide ${asked === "" ? "un número sin unidad" : `en ${asked}`}, no en ${given}.`,
  otherUnit: (symbol, asked) => `Parece la cantidad correcta en ${symbol}; se pide en ${asked}.`,
  wrongUnit: (asked, given) => `El número es correcto en ${asked}; usted escribió ${given}.`,
  sign: "El tamaño es correcto, el signo no.",
  fraction: "Eso es una fracción: multiplíquela por 100.",
  coarse: (digits) => `Correcto hasta aquí; dé ${digits} decimal${digits === 1 ? "" : "es"}.`,
  close: "Casi: conserve todas las cifras y redondee al final.",
  unknown:
    "Todavía no, y ningún error frecuente lleva a este número. Compruebe filas y columnas, el signo y las cifras.",
  kinds: { unit: "unidad", sign: "signo", fraction: "fracción", rounding: "redondeo" },
};

/** The questions, captions and text cells of lesson 1 in Spanish. Made on demand: a program without lessons leaves it out. */
export const spanishLessons = (): PartOfLessons => ({
  questions: {
    "squeeze-open": {
      asks: "Un golfista apretó 42 kgf el mes pasado y 44 kgf hoy. ¿Es más fuerte?",
      options: [
        option(
          "Sí: 44 es más que 42.",
          "El siguiente intento, un minuto después, puede dar 41 kgf. Esta lección muestra cuánto varían los intentos.",
        ),
        option(
          "No: 2 kgf no son nada.",
          "Pueden ser algo. Que 2 kgf se puedan detectar depende del error de un intento.",
        ),
        option(
          "Dos intentos no pueden mostrarlo.",
          "Correcto en la mayoría de los casos. Esta lección muestra cuán grande debe ser un cambio para que dos pruebas lo muestren.",
        ),
      ],
      picture: {
        drawn: twoSqueezes({
          title: "Un golfista, un intento en cada prueba",
          tests: "El mes pasado, y hoy",
          grip: "Fuerza, mano guía (kgf)",
        }),
        alt: "Dos puntos unidos por una línea discontinua: 42 kgf el mes pasado y 44 kgf hoy.",
      },
    },
    "squeeze-shift": {
      asks: "Ocho golfistas aprietan dos veces, y el segundo intento es de media 1,1 kgf más bajo. ¿Forma parte esta caída del error de un intento?",
      options: [
        option(
          "Sí: las lecturas son distintas.",
          "Lo son, pero la caída es común a todos los golfistas, por ejemplo por cansancio. Error es lo que queda cuando se resta: el panel de la derecha.",
        ),
        option(
          "No: se resta primero.",
          "Correcto. Reste la diferencia media: los puntos se mueven hacia cero, y su dispersión, que no cambia, es el error.",
        ),
      ],
      picture: {
        drawn: sharedShift({
          before: "Segundo − primer intento: desplazamiento y error",
          after: "Sin la diferencia media: solo error",
          difference: "Diferencia (kgf)",
          none: "sin diferencia",
          mean: "media",
        }),
        alt: "Ocho puntos en una escala de segundo − primer intento alrededor de su media de −1,1 kgf; al lado los mismos puntos alrededor de cero.",
      },
    },
    "squeeze-predict": {
      asks: "Ningún golfista de un grupo de 12 cambió. ¿Cuántos superan el cambio mínimo detectable (95 %)?",
      options: [
        option(
          "Ninguno: nadie cambió.",
          "En un grupo puede no haber ninguno. Muestre un golfista de cada uno de 200 grupos: por azar supera el límite cerca del 5 %, es decir, 0,6 de 12.",
        ),
        option(
          "Entre ninguno y dos.",
          "Correcto. Se espera el 5 % de 12 = 0,6: la mayoría de los grupos tienen ninguno o uno, y algunos dos.",
        ),
        option(
          "Cerca de la mitad.",
          "Ese sería un límite del tamaño habitual de un cambio. El límite del 95 % lo supera cerca del 5 % de los golfistas.",
        ),
      ],
    },
    "squeeze-play-1": {
      asks: "Deje el cambio verdadero en cero y repita el sorteo varias veces. ¿Qué muestran los puntos llenos?",
      options: [
        option(
          "Golfistas que mejoraron o se debilitaron.",
          "El cambio verdadero es cero en cada golfista: estos cambios son solo error.",
        ),
        option(
          "Golfistas cuyo error fue grande por azar.",
          "Correcto. El límite se elige de modo que lo superen unos 5 de cada 100 golfistas sin cambio.",
        ),
      ],
    },
    "squeeze-play-2": {
      asks: "Aumente los intentos de 1 a 3, y luego de 3 a 10. ¿Qué paso reduce más kgf el cambio detectable?",
      options: [
        option(
          "De 1 a 3.",
          "Correcto: de 4,2 a 2,4 kgf con un error de 1,5 kgf. El error disminuye con la raíz cuadrada del número de intentos.",
        ),
        option(
          "De 3 a 10.",
          "Ese paso gana 1,1 kgf con siete intentos más; el primero gana 1,8 kgf con dos más.",
        ),
        option(
          "Los dos lo mismo.",
          "Lea el resultado: 4,2, 2,4 y 1,3 kgf. Por la raíz cuadrada, los primeros intentos son los más útiles.",
        ),
      ],
    },
    "squeeze-play-3": {
      asks: "Ponga tres intentos y un cambio verdadero de 2 kgf. ¿A cuántos de 12 golfistas se les diría que no cambiaron?",
      options: [
        option(
          "A ninguno: todos mejoraron de verdad.",
          "Solo 4 o 5 de 12 superan el límite de 2,4 kgf. Los demás mejoraron, pero la prueba no puede mostrarlo.",
        ),
        option(
          "A unos 4.",
          "Esos son los que superan el límite. Los otros 7 u 8 mejoraron, pero la prueba no puede mostrarlo.",
        ),
        option(
          "A 7 u 8.",
          "Correcto. Un cambio verdadero menor que el detectable pasa inadvertido en la mayoría de los golfistas.",
        ),
      ],
    },
    "squeeze-play-4": {
      asks: "Ponga el cambio verdadero en cero y elija «mean before, best after». ¿De dónde viene la ganancia?",
      options: [
        option(
          "Del entrenamiento.",
          "El cambio verdadero es cero. El cambio de regla por sí solo añade cerca de 1,3 kgf.",
        ),
        option(
          "Del cambio de regla.",
          "Correcto. El mejor de tres intentos contiene un error favorable, y la media de tres no.",
        ),
      ],
    },
    "squeeze-judge": {
      asks: "Un entrenador dice: «Su fuerza subió 2 kgf, así que el entrenamiento funciona». El cambio mínimo detectable es 3,2 kgf. ¿Está justificado?",
      options: [
        option(
          "Sí: 2 kgf es más que nada.",
          "A menudo se mide un cambio de 2 kgf en golfistas que no cambiaron en absoluto.",
        ),
        option(
          "No: el cambio está dentro del error de medida, así que el golfista no mejoró.",
          "A medias. El cambio está dentro del error de medida, pero puede haber un cambio demasiado pequeño para detectarlo.",
        ),
        option(
          "No: dos pruebas no pueden mostrar si este golfista cambió.",
          "Correcto. Repita la prueba, o use la media de más intentos para reducir el límite.",
        ),
      ],
    },
  },
  captions: {
    "one-squeeze":
      "Grupos en dos pruebas: lo que miden los golfistas cuando se sabe qué ocurrió de verdad.",
  },
  cells: {
    "1-one-squeeze": {
      question: `# 1 Lo que muestra un intento

He apretado más que el mes pasado. ¿Soy más fuerte, o fue un buen día? Necesita un curso de estadística y nada de programación.

> **Precaución.** Apretar al máximo eleva un momento la presión arterial. No haga la prueba con una mano o muñeca que duela o que se haya operado hace poco. Espire al apretar, descanse al menos un minuto entre dos intentos de una mano y pare ante cualquier molestia. Las normas locales y el criterio de profesionales tienen prioridad.`,
      idea: `## La idea

Un dinamómetro muestra la fuerza del golfista **más un error**. Nadie ve los dos por separado. Pero si un golfista aprieta varias veces en pocos minutos, la fuerza apenas cambia: las diferencias entre los intentos son error. El tamaño habitual de este error es el error típico.

Si todos los golfistas aprietan un poco menos la segunda vez, hay un desplazamiento común. No es error y se elimina: reste primero la diferencia media, y mida después cómo varían las diferencias alrededor de ella.

Un cambio es la diferencia de dos lecturas, y las dos tienen error. Los errores independientes se suman como cuadrados: un cambio tiene √2 veces el error de una lectura. La media de k intentos tiene un error √k veces menor.`,
      real: `## ¿Cuánto es en un estudio?

Aquí están los tres intentos de cada golfista en la primera visita del estudio de demostración, mano guía, en la posición inicial ante la bola. El estudio es inventado, y sus golfistas también.`,
      play: `## Primero estime, luego mire

Un grupo hace dos pruebas. Usted decide qué ocurrió de verdad, y ve lo que muestra el dinamómetro. Cada punto es un golfista; los puntos llenos superan el cambio mínimo detectable. Elija primero una respuesta: aparece un grupo. Saque algunos más, y muestre después un golfista de cada uno de 200 grupos. Bajo la figura hay cuatro tareas.`,
      exercises: `## Tres ejercicios

Estos golfistas son suyos. Use una calculadora o una hoja de cálculo. Una respuesta equivocada recibe una pista; tras dos intentos verá la solución con sus propios números. En un cuaderno, escriba su respuesta después de la coma, \`answer("squeeze-typical-error", "1,23")\`, y ejecute la celda.`,
      coach: `## Lo que puede decir un entrenador

«Su fuerza subió más que el error de medida». Dígalo si el cambio supera el cambio mínimo detectable, y si las dos pruebas usaron el mismo dinamómetro, la misma posición, la misma mano y la misma regla. Si no lo supera: «Dos pruebas no pueden mostrarlo; repitamos la prueba». No diga: «No ha mejorado», porque puede haber un cambio demasiado pequeño para detectarlo. Tampoco: «Ha mejorado», porque el mejor de tres intentos de hoy supere la media de tres del mes pasado.`,
    },
  },
});

/** The words of the figure to play with of lesson 1 in Spanish. */
export const spanishModels: Pick<ModelWords, "squeeze"> = {
  squeeze: {
    labels: {
      shown: "Grupos que se muestran",
      people: "Golfistas de un grupo",
      trials: "Intentos en cada prueba",
      error: "Error de un intento",
      change: "Cambio real",
      rule: "Un valor de los intentos",
    },
    shown: { one: "un grupo", all: "un golfista de cada uno de 200" },
    rule: { mean: "la media, las dos veces", switched: "antes la media, después el mejor" },
    title: (golfers, one) =>
      one
        ? `Un grupo de ${golfers} golfistas: un punto es el cambio medido de un golfista`
        : `${golfers} golfistas, uno de cada grupo: un punto es el cambio medido de un golfista`,
    axes: { change: "Cambio medido de la fuerza de agarre (kgf)", golfers: "Golfistas" },
    rules: {
      below: "−detectable",
      above: "cambio detectable",
      none: "sin cambio",
      truth: "cambio real",
    },
    sentence: (facts) => {
      const { people, trials, switched, detectable, beyond, range } = facts;
      const truth =
        facts.change === 0
          ? "Ningún golfista cambió de verdad"
          : `Cada golfista ganó de verdad ${one(facts.change)} kgf`;
      const how = switched
        ? `con la media de ${trials} antes, pero el mejor de ${trials} después`
        : trials === 1
          ? "con un intento en cada prueba"
          : `con la media de ${trials} intentos en cada prueba`;
      const tested = `${truth}. La prueba se hizo ${how}, con un error de ${one(facts.error)} kgf por intento.`;
      if (facts.one)
        return `${tested} Es detectable (95 %) un cambio de ${one(detectable)} kgf. En este grupo ${beyond === 1 ? "lo supera" : "lo superan"} ${beyond} de ${people} golfistas.`;
      const gain = switched
        ? ` Pasar de la media al mejor intento añade ${one(facts.gain)} kgf.`
        : "";
      return `${tested} El 95 % de los cambios medidos está entre ${one(facts.changes.low)} y ${one(facts.changes.high)} kgf.${gain} El cambio mínimo detectable es ${one(detectable)} kgf: en un grupo de ${people} lo superan ${one(facts.passing)} golfistas de media, y de ${text(range.low, 0)} a ${text(range.high, 0)} en 95 de cada 100 grupos.`;
    },
    alt: "Columnas de puntos a lo largo de una escala de cambio, con líneas en ningún cambio y a ambos lados en el cambio mínimo detectable; los puntos rellenos están más allá.",
  },
};
