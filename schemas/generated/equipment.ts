/* Written by `npm run generate` from the schemas. Do not edit. */

/**
 * A name: letters, digits and underscores, words joined by hyphens.
 */
export type RawSheetId = string
/**
 * A text that people read.
 */
export type RawSheetText = string
/**
 * The value of a fact: a choice, a number, a text with a unit, or a list.
 */
export type RawSheetGiven = (string | number | string[])
/**
 * A number with its unit, another limit as feed-voltage.from, or a table.
 */
export type RawSheetLimit = (string | {
by?: RawSheetExpression
/**
 * Rows of [ value it goes by, limit ]; straight lines between rows.
 */
table?: RawSheetQuantity[][]
})
/**
 * A condition or value in CEL, in quotes.
 */
export type RawSheetExpression = string
/**
 * A number with its unit, as 12 V or 4.7 kOhm.
 */
export type RawSheetQuantity = string
/**
 * One set of figures, or a list of them by range.
 */
export type RawSheetAccuracyList = ({
"up-to"?: RawSheetQuantity
reading?: RawSheetQuantity
/**
 * Counts of the last digit shown.
 */
counts?: number
resolution?: RawSheetQuantity
"full-scale"?: RawSheetQuantity
leads?: RawSheetQuantity
} | RawSheetAccuracy[])
/**
 * Hazards by name.
 */
export type RawSheetHazards = ("hot" | "rotating" | "stored-pressure" | "electric-energised" | "electric-high" | "airbag" | "fuel" | "lifting" | "battery-gas" | "moving-vehicle")[]

/**
 * What is known of one model of vehicle or machine.
 */
export interface RawEquipment {
/**
 * Version of the format; 1 where it is left out.
 */
format?: 1
/**
 * Language of the texts, as en.
 */
language?: string
equipment?: RawSheetId
title?: RawSheetText
/**
 * Facts that hold for this equipment.
 */
facts?: {
[k: string]: RawSheetGiven
}
/**
 * This equipment's own limits; they go before the procedure's.
 */
specifications?: {
[k: string]: RawSheetSpecification
}
/**
 * Instruments and their accuracy.
 */
instruments?: {
[k: string]: RawSheetInstrument
}
hazards?: RawSheetHazards
}
/**
 * Limits with their unit and where they come from.
 */
export interface RawSheetSpecification {
title?: RawSheetText
from?: RawSheetLimit
over?: RawSheetLimit
to?: RawSheetLimit
under?: RawSheetLimit
at?: RawSheetQuantity
source?: RawSheetText
/**
 * The technician looks the numbers up and types them.
 */
ask?: true
unit?: RawSheetText
/**
 * Which limits are asked for.
 */
limits?: ("from" | "to" | "under" | "over")[]
}
/**
 * An instrument and how accurate it is.
 */
export interface RawSheetInstrument {
title?: RawSheetText
/**
 * Accuracy by kind of quantity.
 */
accuracy?: {
voltage?: RawSheetAccuracyList
current?: RawSheetAccuracyList
resistance?: RawSheetAccuracyList
power?: RawSheetAccuracyList
charge?: RawSheetAccuracyList
frequency?: RawSheetAccuracyList
ratio?: RawSheetAccuracyList
temperature?: RawSheetAccuracyList
pressure?: RawSheetAccuracyList
torque?: RawSheetAccuracyList
length?: RawSheetAccuracyList
volume?: RawSheetAccuracyList
mass?: RawSheetAccuracyList
time?: RawSheetAccuracyList
speed?: RawSheetAccuracyList
capacitance?: RawSheetAccuracyList
}
}
/**
 * How far the instrument may be off.
 */
export interface RawSheetAccuracy {
"up-to"?: RawSheetQuantity
reading?: RawSheetQuantity
/**
 * Counts of the last digit shown.
 */
counts?: number
resolution?: RawSheetQuantity
"full-scale"?: RawSheetQuantity
leads?: RawSheetQuantity
}
