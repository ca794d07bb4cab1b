// Written by `python -m hearthtide.board.wire_types`: what board and screens tell each other.
// Times in seconds from the night's first midnight, lengths in metres, temperatures in degrees Celsius.

/** What does not change all night. `outline_m` is the stone's edge, `cells_m` the middles of its cells. */
export interface ShownHouse {
  readonly name: string;
  readonly night: string;
  readonly doors_s: number;
  readonly outline_m: readonly (readonly [number, number])[];
  readonly mouth_m: number;
  readonly flames: readonly ShownFlame[];
  readonly cells_m: readonly (readonly [number, number])[];
  readonly cell_side_m: number;
  readonly band_C: readonly [number, number];
  readonly levels: readonly string[];
  readonly cooks: readonly string[];
  readonly platters: number;
  readonly dishes: readonly ShownDish[];
  readonly together_s: number;
  readonly late_after_s: number;
  readonly plans: boolean;
  readonly gas: boolean;
}

/** Where a flame burns: a line or disc on the hearth, drawn as the points along its middle. */
export interface ShownFlame {
  readonly along_m: readonly (readonly [number, number])[];
  readonly breadth_m: number;
}

/** A dish of the house: its name, how it is served, its size on the stone, what it may hold. */
export interface ShownDish {
  readonly key: string;
  readonly name: string;
  readonly vessel: "stone" | "platter" | "pan" | "crock";
  readonly shape: Shape;
  readonly width_m: number;
  readonly depth_m: number;
  readonly from_bank: boolean;
  readonly core_C: number | null;
  readonly contains: readonly string[];
}

export type Shape = "disc" | "box";

/** The plan as every screen draws it, knowing the night's log up to entry `seq`. */
export interface Shown {
  readonly seq: number;
  readonly now_s: number;
  readonly planner: ShownPlanner;
  readonly moves: readonly ShownMove[];
  readonly stays: readonly ShownStay[];
  readonly landings: readonly ShownLanding[];
  readonly probes: readonly ShownProbe[];
  readonly fire: ShownFire;
  readonly slips: readonly ShownSlip[];
  readonly forced: readonly ShownForced[];
  readonly left_out: readonly string[];
}

/** How the planner is: `made_s` dates the plan shown, `behind` says a newer one is being made. */
export interface ShownPlanner {
  readonly condition: "starting" | "ready" | "planning" | "down" | "closed" | "none";
  readonly made_s: number | null;
  readonly behind: boolean;
  readonly plain: boolean;
  readonly trouble: string;
}

/** One act: `nth` of its kind on its plate, as `done` names it. `cautions` are in the house's language. */
export interface ShownMove {
  readonly item: string;
  readonly table: string;
  readonly dish: string;
  readonly act: Act;
  readonly nth: number;
  readonly start_s: number;
  readonly hands_s: number;
  readonly cook: string;
  readonly x_m: number | null;
  readonly y_m: number | null;
  readonly zone: string;
  readonly to_deg: number | null;
  readonly by_deg: number;
  readonly told: boolean;
  readonly first_of_table: boolean;
  readonly words: string;
  readonly hazard: Hazard | null;
  readonly cautions: readonly string[];
}

export type Act = "dress" | "launch" | "load" | "turn" | "spin" | "flip" | "move" | "pull" | "cut" | "flame";

export type Hazard = "hot_metal" | "fat_flares" | "raw_juices" | "allergy" | "flame" | "relight" | "reach_over" | "long_handle";

/** An item on the stone during [from_s, until_s), to scale. */
export interface ShownStay {
  readonly item: string;
  readonly table: string;
  readonly dish: string;
  readonly from_s: number;
  readonly until_s: number;
  readonly x_m: number;
  readonly y_m: number;
  readonly shape: Shape;
  readonly width_m: number;
  readonly depth_m: number;
  readonly facing_deg: number | null;
  readonly tall: boolean;
}

/** A table's plates that meet at a minute: wanted, planned, what the room was first told, how sure. */
export interface ShownLanding {
  readonly table: string;
  readonly course: number;
  readonly drop: number;
  readonly drops: number;
  readonly covers: number;
  readonly wanted_s: number;
  readonly planned_s: number;
  readonly first_told_s: number;
  readonly honest_s: number;
  readonly holds: number | null;
  readonly plates: readonly ShownPlate[];
}

/** One strand: first touched, on the hearth, off it, ready after its rest. */
export interface ShownPlate {
  readonly item: string;
  readonly dish: string;
  readonly begins_s: number;
  readonly in_s: number;
  readonly out_s: number;
  readonly ready_s: number;
}

/** What to temp next: the number that decides, and when it should be reached. */
export interface ShownProbe {
  readonly item: string;
  readonly table: string;
  readonly dish: string;
  readonly wants_C: number;
  readonly at_s: number;
  readonly last_C: number | null;
  readonly last_s: number | null;
}

/** The fire: what burns, what is foreseen, what to do and when. `heat_C` is the stone cell by cell. */
export interface ShownFire {
  readonly level: string;
  readonly out_since_s: number | null;
  readonly floor: readonly ShownFloor[];
  readonly changes: readonly ShownFlameChange[];
  readonly heat_C: readonly number[];
  readonly read_C: number | null;
  readonly read_s: number | null;
}

/** The pizza stone's mean as the models foresee it, moved by the last gun reading of the floor if any. */
export interface ShownFloor {
  readonly at_s: number;
  readonly zone_C: number;
}

/** The flame to hold from `at_s` on; the stone answers five to ten minutes later. */
export interface ShownFlameChange {
  readonly at_s: number;
  readonly level: string;
  readonly up: boolean;
}

/** A table that lands later than was told before what last happened. */
export interface ShownSlip {
  readonly table: string;
  readonly course: number;
  readonly was_s: number;
  readonly is_s: number;
}

/** What had to be done to food that has begun and fits no more. */
export interface ShownForced {
  readonly item: string;
  readonly kind: "parked" | "early" | "overrun";
  readonly seconds: number;
}

/** A night as it stands; every list in the order things were told. */
export interface Facts {
  readonly tickets: readonly LiveTicket[];
  readonly gone: readonly Since[];
  readonly cooks_out: readonly Since[];
  readonly shut: readonly Shut[];
  readonly dead_platters: number;
  readonly flame: Since | null;
  readonly flame_out: Since | null;
  readonly gas_shut: Since | null;
  readonly dangers: readonly Since[];
  readonly danger_over_s: number;
  readonly readings: readonly Taken[];
  readonly plan: PlanMade | null;
  readonly wasted: readonly Wasted[];
  readonly handover: Note | null;
}

/** A ticket as it stands; `courses` in order, `plates` in the order they were told. */
export interface LiveTicket {
  readonly table: string;
  readonly covers: number;
  readonly called_s: number;
  readonly priority: number;
  readonly allergy: readonly string[];
  readonly refire_of: string | null;
  readonly way: "tapped" | "typed" | "csv" | "feed";
  readonly courses: readonly LiveCourse[];
  readonly plates: readonly LivePlate[];
}

/** What lands together; `held` until fired, `landed_s` once it has left for its table. */
export interface LiveCourse {
  readonly wanted_s: number;
  readonly drops: number;
  readonly drops_apart_s: number;
  readonly drag_s: number;
  readonly held: boolean;
  readonly landed_s: number | null;
}

/** One plate under its key for good; `off` says why it is no longer made (empty: it is). */
export interface LivePlate {
  readonly key: string;
  readonly dish: string;
  readonly course: number;
  readonly spot: Spot | null;
  readonly allergy: readonly string[];
  readonly off: string;
  readonly done: readonly ActDone[];
  readonly later: readonly Later[];
  readonly seen_done_s: number | null;
}

/** A place on the stone by its middle, from the middle of the mouth's sill. */
export interface Spot {
  readonly x_m: number;
  readonly y_m: number;
}

/** An act on a plate, done at `at_s`; `assumed` when nobody said so and it was only due. */
export interface ActDone {
  readonly act: Act;
  readonly nth: number;
  readonly at_s: number;
  readonly by: string;
  readonly assumed: boolean;
}

/** An act on a plate that will not be before `until_s`. */
export interface Later {
  readonly act: Act;
  readonly nth: number;
  readonly until_s: number;
}

/** A dish, a cook or a flame's level, and since when and by whom it is told so. */
export interface Since {
  readonly name: string;
  readonly at_s: number;
  readonly by: string;
}

/** A circle of stone nothing may stand on. */
export interface Shut {
  readonly x_m: number;
  readonly y_m: number;
  readonly radius_m: number;
  readonly from_s: number;
  readonly until_s: number;
  readonly why: string;
}

/** A reading with who took it and when. */
export interface Taken {
  readonly reading: Reading;
  readonly by: string;
  readonly at_s: number;
}

/** A measured temperature: of what, where (a plate, a place on the stone or a place by name), by what. */
export interface Reading {
  readonly temperature_C: number;
  readonly of: "core" | "surface" | "floor" | "dome" | "air";
  readonly instrument: string;
  readonly item?: string | null;
  readonly spot?: Spot | null;
  readonly place?: string | null;
  readonly kind: "reading";
}

/** A plan that was made, knowing the log up to entry `seq`; `flame` are the flame's acts in it. */
export interface PlanMade {
  readonly seq: number;
  readonly orders: readonly KeptOrder[];
  readonly flame: readonly KeptAct[];
  readonly kind: "plan";
}

/** What lands together: a course, or a drop of one (then its key ends in `/` and a number). */
export interface KeptOrder {
  readonly key: string;
  readonly table: string;
  readonly wanted_s: number;
  readonly landing_s: number;
  readonly plates: readonly KeptPlate[];
}

/** A plate with all its stays and acts. */
export interface KeptPlate {
  readonly key: string;
  readonly dish: string;
  readonly leave_s: number;
  readonly ready_s: number;
  readonly stays: readonly KeptStay[];
  readonly acts: readonly KeptAct[];
}

/** A stage at a place: by its number, and where that is. */
export interface KeptStay {
  readonly stage: number;
  readonly place: number;
  readonly x_m: number;
  readonly y_m: number;
  readonly start_s: number;
  readonly end_s: number;
  readonly held_until_s: number;
  readonly asked_s: number;
  readonly on_stone: boolean;
}

/** One act of one pair of hands; `stage` is -1 beside the hearth. */
export interface KeptAct {
  readonly act: Act;
  readonly start_s: number;
  readonly hands_s: number;
  readonly cook: number;
  readonly stage: number;
}

/** Portions of a dish thrown away, in all, for one reason. */
export interface Wasted {
  readonly dish: string;
  readonly why: string;
  readonly count: number;
}

/** What somebody wrote down for the next cook. */
export interface Note {
  readonly words: string;
  readonly by: string;
  readonly at_s: number;
}

/** A command as the log keeps it: when it was heard, and why it was refused (empty: it was not). */
export interface Event {
  readonly command: Command;
  readonly heard_s: number;
  readonly refused: string;
  readonly form: 1;
}

/** What is told, under the device's own id: by whom, and when that device saw it. */
export interface Command {
  readonly id: string;
  readonly by: string;
  readonly at_s: number;
  readonly what: TicketCalled | Amended | DishesAdded | EightySix | BackOn | Hold | Fire | Drag | Split | Refire | Landed | MoveDone | NotYet | StageSeen | Reading | Spill | DeadPlatter | CookOut | CookIn | FlameOut | GasShut | DangerSeen | DangerOver | FlameSet | Waste | Handover | Undo | PlanMade;
}

/** A ticket is called, by whatever way it came. */
export interface TicketCalled {
  readonly ticket: Ticket;
  readonly way: "tapped" | "typed" | "csv" | "feed";
  readonly kind: "ticket";
}

/** A ticket: who it is for, when it was called, its courses in order. */
export interface Ticket {
  readonly table: string;
  readonly covers: number;
  readonly called_s: number;
  readonly courses: readonly Course[];
  readonly priority?: number;
  readonly allergy?: readonly string[];
  readonly refire_of?: string | null;
}

/** Plates that land together at `wanted_s`, in one drop or several; `drag_s` later when asked for. */
export interface Course {
  readonly wanted_s: number;
  readonly plates: readonly Plate[];
  readonly drops?: number;
  readonly drops_apart_s?: number;
  readonly drag_s?: number;
}

/** One plate of a dish; where the cook wants it, and what its guest may not have. */
export interface Plate {
  readonly dish: string;
  readonly spot?: Spot | null;
  readonly allergy?: readonly string[];
}

/** A ticket is otherwise than it was called: what is given counts, the rest stays. */
export interface Amended {
  readonly table: string;
  readonly course?: number;
  readonly wanted_s?: number | null;
  readonly covers?: number | null;
  readonly priority?: number | null;
  readonly allergy?: readonly string[] | null;
  readonly take_off?: readonly string[];
  readonly kind: "amend";
}

/** More plates for a course that has not landed. */
export interface DishesAdded {
  readonly table: string;
  readonly plates: readonly Plate[];
  readonly course?: number;
  readonly kind: "add";
}

/** A dish has run out: plates of it that have not begun are not made, and no more are taken. */
export interface EightySix {
  readonly dish: string;
  readonly kind: "eighty_six";
}

/** A dish that had run out is there again, for plates called from now on. */
export interface BackOn {
  readonly dish: string;
  readonly kind: "back_on";
}

/** Begin nothing more of a course until it is fired. */
export interface Hold {
  readonly table: string;
  readonly course?: number;
  readonly kind: "hold";
}

/** Start cooking a course that was held, to land at `wanted_s`. */
export interface Fire {
  readonly table: string;
  readonly wanted_s: number;
  readonly course?: number;
  readonly kind: "fire";
}

/** A course lands this much after the minute it was wanted; 0 takes a drag back. */
export interface Drag {
  readonly table: string;
  readonly drag_s: number;
  readonly course?: number;
  readonly kind: "drag";
}

/** A course lands in so many drops, each wanted so much after the one before it. */
export interface Split {
  readonly table: string;
  readonly drops: number;
  readonly drops_apart_s?: number;
  readonly course?: number;
  readonly kind: "split";
}

/** A plate is spoiled: it comes off and the same dish is begun anew for its course. */
export interface Refire {
  readonly item: string;
  readonly kind: "refire";
}

/** A course has left for its table. */
export interface Landed {
  readonly table: string;
  readonly course?: number;
  readonly kind: "landed";
}

/** An act on a plate has been done. */
export interface MoveDone {
  readonly item: string;
  readonly act: Act;
  readonly nth?: number;
  readonly assumed?: boolean;
  readonly kind: "done";
}

/** An act on a plate is not done and will not be before so much later than now. */
export interface NotYet {
  readonly item: string;
  readonly act: Act;
  readonly late_s: number;
  readonly nth?: number;
  readonly kind: "not_yet";
}

/** An eye on a plate: the stage now going will be done at `done_s`. */
export interface StageSeen {
  readonly item: string;
  readonly done_s: number;
  readonly kind: "seen";
}

/** A circle of stone is shut until then. */
export interface Spill {
  readonly x_m: number;
  readonly y_m: number;
  readonly radius_m: number;
  readonly until_s: number;
  readonly why?: string;
  readonly kind: "spill";
}

/** Platters out of the bank for the rest of the night: cold, cracked, dropped. */
export interface DeadPlatter {
  readonly count?: number;
  readonly kind: "dead_platter";
}

/** A cook is not there, or no longer. */
export interface CookOut {
  readonly cook: string;
  readonly kind: "cook_out";
}

/** A cook is there again. */
export interface CookIn {
  readonly cook: string;
  readonly kind: "cook_in";
}

/** The flame has gone out. */
export interface FlameOut {
  readonly kind: "flame_out";
}

/** The gas is shut, after its flame went out: the wait before it may be lit again runs from here. */
export interface GasShut {
  readonly kind: "gas_shut";
}

/** Somebody says that this is so; while it is, nothing is planned but the way out. */
export interface DangerSeen {
  readonly danger: "carbon monoxide" | "fire" | "coals behind a door" | "extraction off";
  readonly kind: "danger";
}

/** Somebody says that this is no longer so. */
export interface DangerOver {
  readonly danger: "carbon monoxide" | "fire" | "coals behind a door" | "extraction off";
  readonly kind: "danger_over";
}

/** The flame burns at a level, lit anew or changed. */
export interface FlameSet {
  readonly level: string;
  readonly kind: "flame";
}

/** So many more portions of a dish are thrown away; below zero takes back what was counted too much. */
export interface Waste {
  readonly dish: string;
  readonly count: number;
  readonly why?: string;
  readonly kind: "waste";
}

/** What the next cook should know. The last note of a night stands. */
export interface Handover {
  readonly words: string;
  readonly kind: "handover";
}

/** The command of that id was not meant, said within ten seconds of it. */
export interface Undo {
  readonly of: string;
  readonly kind: "undo";
}

/** What became of a command: taken, or refused in words; the first answer again to a repeat. */
export interface Answered {
  readonly id: string;
  readonly seq: number;
  readonly taken: boolean;
  readonly words: string;
  readonly repeat: boolean;
  readonly cautions: readonly string[];
}

/** One entry of the night's log. */
export interface Happened {
  readonly seq: number;
  readonly event: Event;
}

/** Entries behind the one asked for; `last` is the log's last as this board has read it. */
export interface Events {
  readonly events: readonly Happened[];
  readonly last: number;
  readonly now_s: number;
}

/** The night as it stands after entry `seq`. */
export interface StateNow {
  readonly seq: number;
  readonly now_s: number;
  readonly facts: Facts;
}

/** What to send from now on, as `Authorization: Bearer TOKEN`. It is told once. */
export interface Token {
  readonly token: string;
  readonly name: string;
  readonly role: string;
}

/** Somebody who is written down. */
export interface Person {
  readonly name: string;
  readonly role: string;
}

/** A code that enrols one device. */
export interface Code {
  readonly code: string;
  readonly good_for_s: number;
}

/** A command as a device saw it; who says it is whose session it is. */
export interface SaidCommand {
  readonly id: string;
  readonly at_s: number;
  readonly what: What;
}

export type What = TicketCalled | Amended | DishesAdded | EightySix | BackOn | Hold | Fire | Drag | Split | Refire | Landed | MoveDone | NotYet | StageSeen | Reading | Spill | DeadPlatter | CookOut | CookIn | FlameOut | GasShut | DangerSeen | DangerOver | FlameSet | Waste | Handover | Undo;

/** A device that shows a code to be enrolled. */
export interface SaidDevice {
  readonly code: string;
  readonly device: string;
}

/** A person and their PIN, on an enrolled device. */
export interface SaidWho {
  readonly name: string;
  readonly pin: string;
}

/** A person to be written down. */
export interface SaidPerson {
  readonly name: string;
  readonly role: Role;
  readonly pin: string;
}

export type Role = "cook" | "pass" | "chef" | "owner" | "inspector";

/** The one shape of every error. */
export interface Trouble {
  readonly words: string;
  readonly findings: readonly Wrong[];
}

/** One mistake: where, what was written, what was expected, what to do. */
export interface Wrong {
  readonly field: string;
  readonly value: string;
  readonly expected: string;
  readonly remedy: string;
}

/** The closing page's figures after entry `seq`, and the courses that were late. */
export interface ClosingNow {
  readonly seq: number;
  readonly now_s: number;
  readonly closing: Closing;
  readonly late: readonly Late[];
}

/** The figures of a night's closing page. */
export interface Closing {
  readonly tickets: number;
  readonly covers: number;
  readonly courses_landed: number;
  readonly courses_open: number;
  readonly dishes: readonly DishCount[];
  readonly gone: readonly Span[];
  readonly cooks_out: readonly Span[];
  readonly flame: readonly Since[];
  readonly spills: readonly Since[];
  readonly dead_platters: number;
  readonly floor_at_doors: Floor | null;
  readonly floor_highest: Floor | null;
  readonly floor_lowest: Floor | null;
  readonly floor_at_busiest: Floor | null;
  readonly busiest: Busiest | null;
  readonly was_in: readonly WasIn[];
  readonly handover: Note | null;
}

/** The plates of one dish: `called` is the sum of the five after it; `wasted` counts apart, by reason. */
export interface DishCount {
  readonly dish: string;
  readonly called: number;
  readonly made: number;
  readonly refired: number;
  readonly taken_off: number;
  readonly ran_out: number;
  readonly unfinished: number;
  readonly wasted: readonly (readonly [string, number])[];
}

/** Something that was so from then until then (None: to the end), and who said so. */
export interface Span {
  readonly name: string;
  readonly from_s: number;
  readonly until_s: number | null;
  readonly by: string;
}

/** A floor reading with who took it and where; `place` is empty where a spot was given. */
export interface Floor {
  readonly at_s: number;
  readonly temperature_C: number;
  readonly by: string;
  readonly instrument: string;
  readonly place: string;
  readonly x_m: number | null;
  readonly y_m: number | null;
}

/** The half hour in which most plates came off the hearth. */
export interface Busiest {
  readonly from_s: number;
  readonly until_s: number;
  readonly plates: number;
}

/** Somebody who told something that night, and when first and last. */
export interface WasIn {
  readonly name: string;
  readonly first_s: number;
  readonly last_s: number;
  readonly told: number;
}

/** A course that landed later than first told by more than the house allows; costliest steps first. */
export interface Late {
  readonly table: string;
  readonly course: number;
  readonly covers: number;
  readonly wanted_s: number;
  readonly told_s: number;
  readonly landed_s: number;
  readonly steps: readonly Step[];
}

/** What one plan added to a landing (below zero: won back), and what happened before it. */
export interface Step {
  readonly at_s: number;
  readonly added_s: number;
  readonly causes: readonly Cause[];
  readonly after_plan: boolean;
}

/** Something that happened before a plan: `kind` as it was told, or `late_act`; `of` whom or what. */
export interface Cause {
  readonly kind: string;
  readonly of: string;
  readonly at_s: number;
  readonly by: string;
  readonly words: string;
  readonly late_s: number;
}

/** Two honest answers: as soon as can be, and without making others wait. */
export interface Quoted {
  readonly soonest: Minute;
  readonly polite: Minute;
}

/** A minute to tell: `share` of runs land within three minutes of it; `slips` would wait for it. */
export interface Minute {
  readonly minute_s: number;
  readonly planned_s: number;
  readonly share: number;
  readonly drops: number;
  readonly slips: readonly Slipped[];
}

/** A table that would land later for it than it was told. */
export interface Slipped {
  readonly table: string;
  readonly course: number;
  readonly was_s: number;
  readonly is_s: number;
}

/** A night from its first entry to its last. */
export interface Replay {
  readonly from_s: number;
  readonly until_s: number;
  readonly late_after_s: number;
  readonly plates: readonly PlateAgain[];
  readonly courses: readonly CourseAgain[];
  readonly marks: readonly Mark[];
  readonly late: readonly Late[];
}

/** One plate: what was meant, plan after plan, and where it stood by the acts done. */
export interface PlateAgain {
  readonly item: string;
  readonly table: string;
  readonly dish: string;
  readonly course: number;
  readonly off: string;
  readonly meant: readonly Meant[];
  readonly stood: readonly Stood[];
}

/** Where a plan told at `at_s` meant a plate to stand; it holds until the next one. */
export interface Meant {
  readonly at_s: number;
  readonly stays: readonly Stood[];
}

/** A place held during [from_s, until_s), meant or real; `until_s` is None where nobody said its end. */
export interface Stood {
  readonly from_s: number;
  readonly until_s: number | null;
  readonly x_m: number;
  readonly y_m: number;
}

/** A course: wanted, the landing of each plan that changed it (told when, lands when), how it landed. */
export interface CourseAgain {
  readonly table: string;
  readonly course: number;
  readonly covers: number;
  readonly called_s: number;
  readonly wanted_s: number;
  readonly told: readonly (readonly [number, number])[];
  readonly landed_s: number | null;
}

/** Something told in between; a spill has its circle and its end. */
export interface Mark {
  readonly at_s: number;
  readonly kind: string;
  readonly of: string;
  readonly by: string;
  readonly words: string;
  readonly x_m: number | null;
  readonly y_m: number | null;
  readonly radius_m: number | null;
  readonly until_s: number | null;
}

/** What is watched now. `rules` is empty where none is chosen: then nothing is judged. */
export interface ToldLots {
  readonly rules: string;
  readonly words: string;
  readonly head: string;
  readonly today: string;
  readonly named: readonly string[];
  readonly instruments: readonly string[];
  readonly foods: readonly string[];
  readonly chill_ways: readonly string[];
  readonly lots: readonly ToldLot[];
}

/** A lot that is not served or discarded yet. */
export interface ToldLot {
  readonly lot: string;
  readonly dish: string;
  readonly quantity: string;
  readonly food: string;
  readonly piece: string;
  readonly of: string;
  readonly state: LotState;
  readonly since_s: number;
  readonly made_s: number;
  readonly made: string;
  readonly last_day: string;
  readonly frozen: boolean;
  readonly readings: readonly ToldReading[];
  readonly verdicts: readonly ToldVerdict[];
  readonly ways: readonly ToldWay[];
  readonly cooling_since_s: number | null;
  readonly cooling_words: string;
  readonly next_look_s: number | null;
  readonly stair: readonly ToldLimit[];
  readonly foreseen: ToldForesight | null;
  readonly not_foreseen: string;
}

export type LotState = "raw" | "par-cooked" | "cooked" | "cooling" | "chilled" | "held hot" | "re-heated and held" | "time-controlled" | "served" | "re-heated and served" | "discarded";

/** A reading as it was read; `instead_of` is what it was written as before it was corrected. */
export interface ToldReading {
  readonly id: string;
  readonly at_s: number;
  readonly clock: string;
  readonly value: string;
  readonly unit: "C" | "F";
  readonly point: string;
  readonly place: string;
  readonly held_s: number;
  readonly instrument: string;
  readonly person: string;
  readonly instead_of: readonly string[];
}

/** What one rule says, with its section and the readings it stands on. */
export interface ToldVerdict {
  readonly answer: "pass" | "fail" | "unproven" | "not applicable";
  readonly rule: string;
  readonly section: string;
  readonly words: string;
  readonly readings: readonly string[];
}

/** What a lot may become, and what is lacking for it; nothing lacking: it may. */
export interface ToldWay {
  readonly to: LotState;
  readonly lacks: readonly string[];
}

/** A corner of the stair that cooling has to stay under: by then, so cold. */
export interface ToldLimit {
  readonly at_s: number;
  readonly F: number;
  readonly C: number;
  readonly words: string;
}

/** How a lot is foreseen to cool from its last reading, points of (s, °C): a model's word, no reading. */
export interface ToldForesight {
  readonly way: string;
  readonly points: readonly (readonly [number, number])[];
  readonly warnings: readonly string[];
}

/** An entry as a device saw it; whose it is is whose session it is. */
export interface SaidRecord {
  readonly id: string;
  readonly at_s: number;
  readonly what: Noted;
  readonly night?: string;
}

export type Noted = LotReading | LotBegun | LotStateTold | LotPulled | LotLastDay | LotChilledBy | LotFreezer | LotTimeMarked | ProcedureTold | IceChecked | BoilingChecked | NotAsItShould | PutRight;

/** A lot's temperature as the probe showed it, in its own unit. */
export interface LotReading {
  readonly lot: string;
  readonly value: string;
  readonly unit: "C" | "F";
  readonly point: "coldest" | "warmest" | "air" | "surface" | "other";
  readonly instrument: string;
  readonly place?: string;
  readonly held_s?: number;
  readonly kind: "lot_reading";
}

/** Food cooked ahead in one go goes into the heat. */
export interface LotBegun {
  readonly lot: string;
  readonly dish: string;
  readonly quantity: string;
  readonly food?: FoodClass | null;
  readonly piece?: Piece | null;
  readonly made_of?: readonly string[];
  readonly kind: "lot_made";
}

export type FoodClass = "poultry" | "stuffed" | "wild game" | "ground" | "tenderized" | "injected" | "pooled eggs" | "intact meat" | "pork" | "fish" | "shellfish" | "egg to order" | "intact beef steak" | "whole roast" | "plant";

export type Piece = "half bird" | "whole bird" | "pieces";

/** What a lot became. */
export interface LotStateTold {
  readonly lot: string;
  readonly state: LotState;
  readonly kind: "lot_became";
}

/** Portions of a chilled lot leave the cold, to be heated. */
export interface LotPulled {
  readonly lot: string;
  readonly of: string;
  readonly quantity: string;
  readonly kind: "lot_pulled";
}

/** The last day that was written on a lot. */
export interface LotLastDay {
  readonly lot: string;
  readonly last_day: string;
  readonly kind: "lot_marked";
}

/** How a lot is chilled from now on. */
export interface LotChilledBy {
  readonly lot: string;
  readonly way: string;
  readonly thickness_mm: number;
  readonly kind: "lot_chilled_by";
}

/** A chilled lot went into the freezer, or came out of it. */
export interface LotFreezer {
  readonly lot: string;
  readonly way: "in" | "out";
  readonly kind: "lot_freezer";
}

/** The time that was marked on food on time alone: so many seconds from when it was told. */
export interface LotTimeMarked {
  readonly lot: string;
  readonly for_s: number;
  readonly kind: "lot_time_marked";
}

/** A written procedure for time alone is kept in the house. */
export interface ProcedureTold {
  readonly reference: string;
  readonly kind: "time_procedure";
}

/** A thermometer in melting ice, and what it showed. */
export interface IceChecked {
  readonly instrument: string;
  readonly shown: string;
  readonly unit: "C" | "F";
  readonly scale: "C" | "F" | "both";
  readonly kind: "probe_in_ice";
}

/** A thermometer in boiling water, so high above the sea, and what it showed. */
export interface BoilingChecked {
  readonly instrument: string;
  readonly shown: string;
  readonly unit: "C" | "F";
  readonly scale: "C" | "F" | "both";
  readonly height_m: number;
  readonly kind: "probe_in_boiling";
}

/** Something was not as a rule asks: what was found. */
export interface NotAsItShould {
  readonly lot: string;
  readonly rule: string;
  readonly found: string;
  readonly kind: "deviation";
}

/** A deviation is closed, with all four. */
export interface PutRight {
  readonly of: string;
  readonly cause: string;
  readonly control: string;
  readonly prevention: string;
  readonly disposition: string;
  readonly kind: "deviation_closed";
}

/** A reading as it should have been written; `second` stands by it with their own PIN, where needed. */
export interface SaidCorrection {
  readonly id: string;
  readonly of: string;
  readonly value: string;
  readonly unit: "C" | "F";
  readonly why: string;
  readonly second?: SaidWho | null;
}

/** Entries that were looked for; `entries` are the last of `count`. */
export interface Found {
  readonly count: number;
  readonly entries: readonly ToldEntry[];
}

/** One entry of the records, as it is read out; `late`: written down long after it was so. */
export interface ToldEntry {
  readonly id: string;
  readonly day: string;
  readonly clock: string;
  readonly offset: string;
  readonly entered: string;
  readonly late: boolean;
  readonly kind: string;
  readonly lot: string;
  readonly dish: string;
  readonly words: string;
  readonly person: string;
  readonly device: string;
  readonly instrument: string;
  readonly instead_of: readonly string[];
}

/** What an inspector asks for besides entries: checks of thermometers, deviations nobody closed. */
export interface StandsOpen {
  readonly checks: readonly ProbeTold[];
  readonly deviations: readonly ToldEntry[];
}

/** A thermometer check, and what the rules say of it; nothing where none are chosen. */
export interface ProbeTold {
  readonly entry: ToldEntry;
  readonly verdict: ToldVerdict | null;
}

/** The day it is by the board's clock, and its plan; without one `wrong` says why, empty: none was kept. */
export interface DayNow {
  readonly day: string;
  readonly midnight_s: number;
  readonly kept: KeptDay | null;
  readonly before: readonly DayLine[];
  readonly wrong: readonly string[];
}

/** A planned day: its lines, figures, the stone's curve, the loads, cautions, and what could not be. */
export interface KeptDay {
  readonly document: "hearthtide day";
  readonly schema_version: 1;
  readonly house: string;
  readonly day: string;
  readonly lines: readonly DayLine[];
  readonly figures: readonly DayFigure[];
  readonly curve: DayCurve | null;
  readonly loads: readonly DayLoad[];
  readonly cautions: readonly string[];
  readonly problems: readonly string[];
}

/** One thing to be done: from when until when, by whom, where, how much, by when at the latest and why. */
export interface DayLine {
  readonly from_s: number;
  readonly until_s: number | null;
  readonly who: string;
  readonly kind: DayKind;
  readonly where: string;
  readonly what: string;
  readonly how_much: string;
  readonly due_s: number | null;
  readonly why: string;
}

export type DayKind = "fire" | "hearth" | "chill" | "prep" | "dough" | "check" | "reheat" | "falling" | "floor";

/** A figure of the day in words, and the sum it came from. */
export interface DayFigure {
  readonly words: string;
  readonly value: string;
  readonly sum: string;
}

/** What the stone is foreseen to do, °C, and the band it is wanted in at doors. */
export interface DayCurve {
  readonly times_s: readonly number[];
  readonly stone_C: readonly number[];
  readonly band_low_C: number;
  readonly band_high_C: number;
}

/** A tray, pan or platter in the oven, from its going in to its coming out. */
export interface DayLoad {
  readonly tray: string;
  readonly in_s: number;
  readonly out_s: number;
  readonly portions: number;
}
