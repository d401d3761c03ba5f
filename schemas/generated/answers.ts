/* Written by `npm run generate` from the schemas. Do not edit. */

/**
 * A text that people read.
 */
export type RawAnswersText = string
/**
 * A step's name; call/step inside a call.
 */
export type RawAnswersStepName = string
/**
 * The answer or reading of a step; a list where the step comes up again.
 */
export type RawAnswersEntry = (string | number | boolean | {
/**
 * The reading, as typed.
 */
reading?: (string | number | boolean)
/**
 * The reading with the leads held together.
 */
leads?: (string | number | boolean)
/**
 * Temperature of the part.
 */
temperature?: (string | number | boolean)
/**
 * The time really waited.
 */
wait?: (string | number | boolean)
/**
 * The answer, cannot or stop.
 */
answer?: (string | number | boolean)
reason?: RawAnswersText
} | RawAnswersVisit[])
/**
 * The answer or reading of one visit.
 */
export type RawAnswersVisit = (string | number | boolean | {
/**
 * The reading, as typed.
 */
reading?: (string | number | boolean)
/**
 * The reading with the leads held together.
 */
leads?: (string | number | boolean)
/**
 * Temperature of the part.
 */
temperature?: (string | number | boolean)
/**
 * The time really waited.
 */
wait?: (string | number | boolean)
/**
 * The answer, cannot or stop.
 */
answer?: (string | number | boolean)
reason?: RawAnswersText
})

/**
 * Answers and readings for a run without asking, by step.
 */
export interface RawAnswers {
/**
 * Facts by name.
 */
facts?: {
/**
 * The fact's value.
 */
[k: string]: string | number | boolean | (string | number | boolean)[]
}
/**
 * Numbers for open specifications, by name.
 */
specifications?: {
/**
 * The limits and where they come from.
 */
[k: string]: {
/**
 * Lowest value, included.
 */
from?: (string | number | boolean)
/**
 * Highest value, included.
 */
to?: (string | number | boolean)
/**
 * Lowest value, not included.
 */
over?: (string | number | boolean)
/**
 * Highest value, not included.
 */
under?: (string | number | boolean)
source?: RawAnswersText
}
}
/**
 * Steps taken by choice where the order is free, in the order taken.
 * 
 * Items: A step taken instead of the one that is asked for.
 */
choices?: {
at?: RawAnswersStepName
/**
 * Which time the run asks for it, from 1; left out, the first.
 */
visit?: (string | number)
take?: RawAnswersStepName
/**
 * The set-ups that are made then, these and no others; left out, whichever.
 */
apart?: RawAnswersStepName[]
/**
 * What is told before that: facts/… and specifications/….
 */
after?: RawAnswersStepName[]
}[]
[k: string]: RawAnswersEntry | {
/**
 * The fact's value.
 */
[k: string]: string | number | boolean | (string | number | boolean)[]
} | {
/**
 * The limits and where they come from.
 */
[k: string]: {
/**
 * Lowest value, included.
 */
from?: (string | number | boolean)
/**
 * Highest value, included.
 */
to?: (string | number | boolean)
/**
 * Lowest value, not included.
 */
over?: (string | number | boolean)
/**
 * Highest value, not included.
 */
under?: (string | number | boolean)
source?: RawAnswersText
}
} | {
at?: RawAnswersStepName
/**
 * Which time the run asks for it, from 1; left out, the first.
 */
visit?: (string | number)
take?: RawAnswersStepName
/**
 * The set-ups that are made then, these and no others; left out, whichever.
 */
apart?: RawAnswersStepName[]
/**
 * What is told before that: facts/… and specifications/….
 */
after?: RawAnswersStepName[]
}[] | undefined
}
