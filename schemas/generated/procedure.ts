/* Written by `npm run generate` from the schemas. Do not edit. */

/**
 * A name: letters, digits and underscores, words joined by hyphens.
 */
export type RawId = string
/**
 * A text that people read.
 */
export type RawText = string
/**
 * Hazards by name.
 */
export type RawHazards = ("hot" | "rotating" | "stored-pressure" | "electric-energised" | "electric-high" | "airbag" | "fuel" | "lifting" | "battery-gas" | "moving-vehicle")[]
/**
 * The kind of quantity that is measured.
 */
export type RawMeasureKind = ("voltage" | "current" | "resistance" | "power" | "charge" | "frequency" | "ratio" | "temperature" | "pressure" | "torque" | "length" | "volume" | "mass" | "time" | "speed" | "capacitance")
/**
 * One set of figures, or a list of them by range.
 */
export type RawAccuracyList = ({
"up-to"?: RawQuantity
reading?: RawQuantity
/**
 * Counts of the last digit shown.
 */
counts?: number
resolution?: RawQuantity
"full-scale"?: RawQuantity
leads?: RawQuantity
} | RawAccuracy[])
/**
 * A number with its unit, as 12 V or 4.7 kOhm.
 */
export type RawQuantity = string
/**
 * A number with its unit, another limit as feed-voltage.from, or a table.
 */
export type RawLimit = (string | {
by?: RawExpression
/**
 * Rows of [ value it goes by, limit ]; straight lines between rows.
 */
table?: RawQuantity[][]
})
/**
 * A condition or value in CEL, in quotes.
 */
export type RawExpression = string
/**
 * A tightening torque, or from and to.
 */
export type RawTorque = (string | {
from?: RawQuantity
to?: RawQuantity
})
/**
 * A name; call/name for something of a called procedure.
 */
export type RawReference = string
/**
 * Where it leads, by condition; the last without one.
 * 
 * Items: One arm.
 */
export type RawArms = {
if?: RawExpression
goto?: RawId
}[]
/**
 * A probability, 0 to 1.
 */
export type RawShare = number
/**
 * The value of a fact: a choice, a number, a text with a unit, or a list.
 */
export type RawGiven = (string | number | string[])

/**
 * A written method that isolates the fault behind one complaint.
 */
export interface RawProcedure {
/**
 * Version of the format; 1 where it is left out.
 */
format?: 1
/**
 * Language of the texts, as en.
 */
language?: string
procedure?: RawId
title?: RawText
/**
 * Number of the revision, from 1.
 */
revision?: number
complaint?: RawText
/**
 * Equipment sheets it is for; left out means any.
 */
equipment?: RawId[]
/**
 * Tools to have at hand.
 */
tools?: RawId[]
hazards?: RawHazards
/**
 * The probability that a conclusion needs; 0.8 where it is left out.
 */
certainty?: number
/**
 * The probability below which a reading is too close to call; 0.95 where it is left out.
 */
"decide-at"?: number
/**
 * The written order of the tests is only a proposal; the best order may be followed. What the written order never has made at a step is put back before it.
 */
"free-order"?: boolean
/**
 * Things asked once, just before the first step that uses them.
 */
facts?: {
[k: string]: RawFact
}
/**
 * Instruments and their accuracy.
 */
instruments?: {
[k: string]: RawInstrument
}
/**
 * Limits with unit, reference conditions and source.
 */
specifications?: {
[k: string]: RawSpecification
}
/**
 * Hazards and how to stay clear of them.
 */
cautions?: {
[k: string]: RawCaution
}
/**
 * States of the machine that steps need.
 */
"set-ups"?: {
[k: string]: RawSetUp
}
/**
 * The ways the machine can have failed.
 */
faults?: {
[k: string]: RawFault
}
start?: RawId
/**
 * The steps, by name.
 */
steps?: {
[k: string]: RawStep
}
/**
 * How the faults are mended.
 */
repairs?: {
[k: string]: RawRepair
}
}
/**
 * Something asked once, before the first step that uses it.
 */
export interface RawFact {
title?: RawText
ask?: RawText
/**
 * What can be chosen: names, or names with labels. unknown can always be chosen.
 */
choices?: (RawId[] | {
[k: string]: RawText
})
measure?: RawMeasureKind
unit?: RawText
with?: RawId
say?: RawText
where?: RawText
picture?: RawPicture
}
/**
 * A picture in a file beside the procedure.
 */
export interface RawPicture {
file?: RawText
alt?: RawText
}
/**
 * An instrument and how accurate it is.
 */
export interface RawInstrument {
title?: RawText
/**
 * Accuracy by kind of quantity.
 */
accuracy?: {
voltage?: RawAccuracyList
current?: RawAccuracyList
resistance?: RawAccuracyList
power?: RawAccuracyList
charge?: RawAccuracyList
frequency?: RawAccuracyList
ratio?: RawAccuracyList
temperature?: RawAccuracyList
pressure?: RawAccuracyList
torque?: RawAccuracyList
length?: RawAccuracyList
volume?: RawAccuracyList
mass?: RawAccuracyList
time?: RawAccuracyList
speed?: RawAccuracyList
capacitance?: RawAccuracyList
}
}
/**
 * How far the instrument may be off.
 */
export interface RawAccuracy {
"up-to"?: RawQuantity
reading?: RawQuantity
/**
 * Counts of the last digit shown.
 */
counts?: number
resolution?: RawQuantity
"full-scale"?: RawQuantity
leads?: RawQuantity
}
/**
 * Limits with their unit and where they come from.
 */
export interface RawSpecification {
title?: RawText
from?: RawLimit
over?: RawLimit
to?: RawLimit
under?: RawLimit
at?: RawQuantity
source?: RawText
/**
 * The technician looks the numbers up and types them.
 */
ask?: true
unit?: RawText
/**
 * Which limits are asked for.
 */
limits?: ("from" | "to" | "under" | "over")[]
}
/**
 * A hazard, what it does, and how to stay clear of it.
 */
export interface RawCaution {
/**
 * The signal word.
 */
signal?: ("danger" | "warning" | "caution" | "notice")
hazard?: RawText
consequence?: RawText
avoid?: RawText
covers?: RawHazards
acknowledge?: RawText
}
/**
 * A state of the machine that steps need; made once, put back at the end.
 */
export interface RawSetUp {
title?: RawText
do?: RawText
/**
 * Minutes it takes to make.
 */
minutes?: number
torque?: RawTorque
where?: RawText
picture?: RawPicture
/**
 * Set-ups that must be made first, by name.
 */
needs?: RawId[]
/**
 * Set-ups that must be undone first, by name.
 */
without?: RawId[]
/**
 * Cautions shown and acknowledged first, by name.
 */
cautions?: RawId[]
hazards?: RawHazards
/**
 * Tools to have at hand.
 */
tools?: RawId[]
/**
 * How it is put back, or none where there is nothing to put back.
 */
"put-back"?: (string | {
do?: RawText
/**
 * Minutes it takes to put back.
 */
minutes?: number
torque?: RawTorque
/**
 * Cautions shown and acknowledged first, by name.
 */
cautions?: RawId[]
hazards?: RawHazards
/**
 * Tools to have at hand.
 */
tools?: RawId[]
where?: RawText
picture?: RawPicture
})
}
/**
 * One way the machine can have failed.
 */
export interface RawFault {
title?: RawText
/**
 * How common it is beside the others.
 */
prior?: number
repair?: RawId
where?: RawText
picture?: RawPicture
}
/**
 * One step: ask, measure, do, call, conclude or end.
 */
export interface RawStep {
ask?: RawText
measure?: RawMeasureKind
do?: RawText
call?: RawId
/**
 * The fault that is proven, or a list where one of them is present.
 */
conclude?: (string | RawReference[])
/**
 * How the run ends.
 */
end?: ("fixed" | "fault-found" | "no-fault-found" | "referred" | "unresolved" | "stopped")
title?: RawText
say?: RawText
where?: RawText
picture?: RawPicture
/**
 * Cautions shown and acknowledged first, by name.
 */
cautions?: RawId[]
hazards?: RawHazards
/**
 * Set-ups that must be made first, by name.
 */
needs?: RawId[]
/**
 * Set-ups that must be undone first, by name.
 */
without?: RawId[]
/**
 * Tools to have at hand.
 */
tools?: RawId[]
/**
 * Steps that must come before this one in any other order.
 */
after?: RawReference[]
/**
 * Minutes the step takes.
 */
minutes?: number
wait?: RawQuantity
limit?: RawQuantity
/**
 * The answers, and where each leads.
 */
answers?: {
[k: string]: RawAnswer
}
cannot?: RawBranch
done?: RawBranch
unit?: RawText
"reading-unit"?: RawText
with?: RawId
correct?: RawCorrect
/**
 * Readings outside are asked for again.
 */
plausible?: {
from?: RawLimit
over?: RawLimit
to?: RawLimit
under?: RawLimit
}
value?: RawExpression
/**
 * The probability below which a reading is too close to call.
 */
"decide-at"?: number
/**
 * Named ranges that cover every reading once, and where each leads.
 */
bands?: {
[k: string]: RawBand
}
specification?: RawId
/**
 * Where a reading below, within or above the specification leads.
 */
outcomes?: {
below?: RawBranch
within?: RawBranch
above?: RawBranch
}
borderline?: RawBranch
goto?: RawId
then?: RawArms
/**
 * How many times it may be taken in one run.
 */
"at-most"?: number
else?: RawId
/**
 * How likely each outcome is under each fault; the row otherwise is for every fault not named.
 */
evidence?: {
[k: string]: RawRow
}
/**
 * Facts given to the called procedure.
 */
give?: {
[k: string]: RawGiven
}
/**
 * The called procedure's set-ups by our own names for the same thing.
 */
"set-ups"?: {
[k: string]: RawId
}
/**
 * Where each end of the called procedure leads.
 */
returns?: {
"fault-found"?: RawBranch
"no-fault-found"?: RawBranch
referred?: RawBranch
unresolved?: RawBranch
}
verify?: RawId
}
/**
 * An answer and where it leads.
 */
export interface RawAnswer {
label?: RawText
goto?: RawId
then?: RawArms
/**
 * How many times it may be taken in one run.
 */
"at-most"?: number
else?: RawId
}
/**
 * Where an outcome leads.
 */
export interface RawBranch {
goto?: RawId
then?: RawArms
/**
 * How many times it may be taken in one run.
 */
"at-most"?: number
else?: RawId
}
/**
 * What to correct the reading for.
 */
export interface RawCorrect {
/**
 * subtract takes the instrument's figure; ask asks for a reading with the leads held together.
 */
leads?: ("subtract" | "ask")
/**
 * Correct a resistance to its reference temperature.
 */
temperature?: {
ask?: RawText
/**
 * The metal of the wire.
 */
metal?: ("copper" | "aluminium" | "iron" | "nickel" | "platinum" | "constantan")
}
to?: RawQuantity
}
/**
 * A named range of readings and where it leads.
 */
export interface RawBand {
label?: RawText
from?: RawLimit
over?: RawLimit
to?: RawLimit
under?: RawLimit
goto?: RawId
then?: RawArms
/**
 * How many times it may be taken in one run.
 */
"at-most"?: number
else?: RawId
}
/**
 * Probability of each outcome under this fault, or the reading to expect.
 */
export interface RawRow {
/**
 * The corrected reading to expect, as 0.6 Ohm ± 0.1 Ohm.
 */
reads?: string
[k: string]: RawShare | string | undefined
}
/**
 * How a fault is mended.
 */
export interface RawRepair {
title?: RawText
/**
 * Minutes it takes.
 */
minutes?: number
/**
 * What it costs; shown, never reckoned with.
 */
cost?: number
/**
 * The parts it takes.
 */
parts?: RawPart[]
/**
 * Set-ups that must be made first, by name.
 */
needs?: RawId[]
/**
 * Set-ups that must be undone first, by name.
 */
without?: RawId[]
/**
 * Tools to have at hand.
 */
tools?: RawId[]
/**
 * Cautions shown and acknowledged first, by name.
 */
cautions?: RawId[]
hazards?: RawHazards
/**
 * The acts, in order.
 */
do?: RawAct[]
}
/**
 * A part that the repair takes.
 */
export interface RawPart {
part?: RawText
/**
 * How many.
 */
quantity?: number
/**
 * always: a new one every time, never used again.
 */
renew?: "always"
}
/**
 * One act of a repair.
 */
export interface RawAct {
say?: RawText
torque?: RawTorque
/**
 * Cautions shown and acknowledged first, by name.
 */
cautions?: RawId[]
hazards?: RawHazards
where?: RawText
picture?: RawPicture
}
