// Made from the Go types by a test in internal/workbench/page; do not edit.
import type { Frames, PassTime, SongTime } from "../base/time";

export type Answer = "works" | "look" | "does not work" | "not known yet";

export interface Bar {
  readonly span: SongSpan;
  readonly first_beat: number;
  readonly count: number;
}

export interface Beat {
  readonly at: SongTime;
  readonly in_bar: number;
}

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly w: number;
  readonly h: number;
}

export interface CDL {
  readonly id?: string;
  readonly notes?: readonly string[];
  readonly slope: readonly [number, number, number];
  readonly offset: readonly [number, number, number];
  readonly power: readonly [number, number, number];
  readonly saturation: number;
  readonly no_clamp?: boolean;
  readonly inverse?: boolean;
}

export interface Cell {
  readonly state: string;
  readonly hold_s: number;
  readonly score: number;
  readonly why?: string;
  readonly late_ms?: number;
}

export interface CoverageBar {
  readonly state: string;
  readonly must_see: boolean;
}

export interface CoverageCell {
  readonly wanted: number;
  readonly have: number;
  readonly state: string;
}

export interface CoverageLedger {
  readonly basis: string;
  readonly rows: readonly CoverageRow[] | null;
  readonly bars: readonly CoverageBar[] | null;
}

export interface CoverageLoss {
  readonly setup: string;
  readonly only?: readonly number[];
  readonly second?: readonly number[];
  readonly must_see?: readonly string[];
  readonly voice_free?: readonly string[];
  readonly worth: number;
  readonly say: string;
}

export interface CoverageMatches {
  readonly matched: number;
  readonly of: number;
}

export interface CoverageNeed {
  readonly kind: string;
  readonly name: string;
  readonly text?: string;
  readonly span: SongSpan;
  readonly line: number;
  readonly shows?: Shows;
  readonly wanted: number;
}

export interface CoverageOutlook {
  readonly chance: number;
  readonly low: number;
  readonly high: number;
  readonly sure_passes: number;
  readonly sure_minutes: number;
  readonly expected_minutes: number;
  readonly loop_minutes: number;
  readonly say: string;
}

export interface CoverageRow {
  readonly kind: string;
  readonly name: string;
  readonly text?: string;
  readonly span: SongSpan;
  readonly line: number;
  readonly shows?: Shows;
  readonly wanted: number;
  readonly cells: readonly CoverageCell[] | null;
  readonly have: number;
  readonly views: number;
  readonly state: string;
}

export interface Crop {
  readonly picture_width: number;
  readonly picture_height: number;
  readonly width: number;
  readonly height: number;
  readonly keys: readonly CropKey[] | null;
}

export interface CropKey {
  readonly frame: Frames;
  readonly x: number;
  readonly y: number;
}

export interface Cut {
  readonly order: string;
  readonly cut: FilmCut;
  readonly states: readonly string[] | null;
  readonly pinned: readonly (readonly number[])[] | null;
  readonly differs: readonly boolean[] | null;
  readonly mean_shot: number;
  readonly agreeing: number;
  readonly not_agreeing: number;
}

export interface Decided {
  readonly rev: number;
  readonly words: string;
  readonly changes: readonly string[] | null;
}

export interface Decision {
  readonly do: string;
  readonly pin?: FilmPin;
  readonly pins?: readonly FilmPin[];
  readonly unpins?: readonly number[];
  readonly id?: number;
  readonly wishes?: Wishes;
  readonly setup?: Setup;
  readonly rename?: string;
  readonly edit?: unknown;
  readonly order?: Order;
  readonly drop?: string;
  readonly most_s?: number;
  readonly look?: Look;
  readonly trim?: Trim;
  readonly of?: string;
}

export interface Difference {
  readonly mean: number;
  readonly max: number;
  readonly colours: number;
}

export interface Edge {
  readonly stops?: number;
  readonly x?: number;
  readonly y?: number;
}

export interface Effect {
  readonly step: Step;
  readonly mean: number;
  readonly max: number;
  readonly colours: number;
  readonly dead: boolean;
}

export interface FaceRead {
  readonly box: Box;
  readonly reading: Reading;
}

export interface Failure {
  readonly message: string;
  readonly hint?: string;
}

export interface File {
  readonly clip: number;
  readonly at_s: PassTime;
  readonly seconds: number;
  readonly small: string;
  readonly mime_type: string;
}

export interface Film {
  readonly rev: number;
  readonly name: string;
  readonly record: string;
  readonly song: Song;
  readonly fps: string;
  readonly orders: readonly Order[] | null;
  readonly setups: readonly Setup[] | null;
  readonly passes: readonly Pass[] | null;
  readonly pins: readonly Pin[] | null;
  readonly done: readonly string[] | null;
  readonly undone: readonly string[] | null;
  readonly wishes: Wishes;
  readonly look: Look;
  readonly trims: { readonly [key: string]: Trim | undefined } | null;
  readonly luts: readonly string[] | null;
  readonly working?: Work;
  readonly missing?: readonly string[];
}

export interface FilmCut {
  readonly fps: string;
  readonly shape: string;
  readonly song_frames: Frames;
  readonly shots: readonly Shot[] | null;
  readonly song_from_s?: SongTime;
}

export interface FilmPin {
  readonly id: number;
  readonly kind: PinKind;
  readonly span: SongSpan;
  readonly pass?: string;
  readonly setup?: string;
  readonly strong?: boolean;
  readonly source_start_s?: PassTime;
  readonly speed?: number;
  readonly said?: string;
}

export interface Instant {
  readonly name: string;
  readonly why: string;
  readonly pass: string;
  readonly setup: string;
  readonly at_s: PassTime;
  readonly song_s: SongTime;
  readonly address: string;
  readonly face?: Box;
}

export interface Instants {
  readonly instants: readonly Instant[] | null;
}

export interface Knot {
  readonly in: number;
  readonly out: number;
}

export interface LUTFile {
  readonly name: string;
  readonly text: string;
}

export interface LUTTaken {
  readonly name: string;
  readonly warnings: readonly string[] | null;
}

export interface Layer {
  readonly file?: string;
  readonly strength?: number;
  readonly interpolation?: string;
}

export interface Laying {
  readonly slip_s: number;
  readonly worst_ms: number;
  readonly fits: boolean;
}

export interface Levels {
  readonly least: number;
  readonly low: number;
  readonly median: number;
  readonly high: number;
  readonly most: number;
  readonly mean: readonly [number, number, number];
  readonly clipped_low: readonly [number, number, number];
  readonly clipped_high: readonly [number, number, number];
  readonly all_low: number;
  readonly all_high: number;
  readonly out_of_range: number;
  readonly within_r103: boolean;
}

export interface LightBalance {
  readonly wanted_lux: number;
  readonly readings: readonly LightReading[] | null;
  readonly level_stops: number;
  readonly faults: readonly LightFault[] | null;
}

export interface LightCaution {
  readonly where: string;
  readonly text: string;
}

export interface LightCircuit {
  readonly name: string;
  readonly volts: number;
  readonly amps: number;
  readonly other_watts?: number;
}

export interface LightCircuitSum {
  readonly circuit: string;
  readonly amps: number;
  readonly allowed_amps: number;
  readonly ok: boolean;
  readonly words: string;
}

export interface LightExposure {
  readonly stop: number;
  readonly seconds: number;
  readonly iso: number;
  readonly nd_stops?: number;
}

export interface LightFault {
  readonly kind: string;
  readonly lamp?: string;
  readonly off_stops: number;
  readonly dial_end?: string;
  readonly fixes: readonly LightFix[] | null;
  readonly words: string;
}

export interface LightFilter {
  readonly name: string;
  readonly stops: number;
  readonly mired?: number;
}

export interface LightFix {
  readonly do: string;
  readonly words: string;
  readonly value: number;
  readonly left_stops: number;
}

export interface LightLead {
  readonly length: number;
  readonly mm2: number;
  readonly reel: boolean;
}

export interface LightLeadCheck {
  readonly drop_volts: number;
  readonly ok: boolean;
  readonly words: string;
}

export interface LightLoad {
  readonly name: string;
  readonly watts: number;
  readonly power_factor?: number;
  readonly circuit?: string;
}

export interface LightMismatch {
  readonly a: string;
  readonly b: string;
  readonly mired: number;
  readonly notice: string;
  readonly gel?: string;
  readonly left?: number;
}

export interface LightReading {
  readonly role: string;
  readonly lux: number;
  readonly wanted_lux: number;
  readonly off_stops: number;
}

export interface LightShutterCheck {
  readonly safe: boolean;
  readonly beat_hz: number;
  readonly swing_stops: number;
  readonly safe_seconds?: number;
  readonly words: string;
}

export interface Line {
  readonly section: number;
  readonly number: number;
  readonly span: SongSpan;
  readonly text?: string;
  readonly words?: readonly Word[];
}

export interface Look {
  readonly encoding?: string;
  readonly exposure_stops?: number;
  readonly white?: White;
  readonly cdl?: CDL;
  readonly curve?: readonly Knot[];
  readonly lut_a?: Layer;
  readonly lut_b?: Layer;
  readonly lut_b_placing?: string;
  readonly edge?: Edge;
  readonly letterbox?: string;
  readonly off?: readonly Step[];
}

export interface Looked {
  readonly words: string;
  readonly effects: readonly Effect[] | null;
  readonly baked_error: Difference;
  readonly no_room: readonly string[] | null;
  readonly apart?: Difference;
}

export interface Match {
  readonly trim: Trim;
  readonly before: Difference;
  readonly after: Difference;
  readonly warning?: string;
}

export interface MatchAsk {
  readonly setup: string;
  readonly by: string;
  readonly pass?: string;
  readonly at_s?: PassTime;
  readonly box?: Box;
  readonly corners?: readonly Point[];
  readonly made?: string;
  readonly to?: string;
  readonly to_pass?: string;
  readonly to_at_s?: PassTime;
  readonly to_box?: Box;
  readonly song_s?: SongTime;
}

export interface MustSee {
  readonly span: SongSpan;
  readonly shows: Shows;
  readonly frames_before?: Frames;
  readonly frames_after?: Frames;
  readonly text?: string;
  readonly matches?: number;
}

export interface OpticsBand {
  readonly near: number;
  readonly far: number;
  readonly subject: number;
  readonly sway_near: number;
  readonly sway_far: number;
}

export interface OpticsBox {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface OpticsDepth {
  readonly near: number;
  readonly far: number;
  readonly endless?: boolean;
  readonly sway: number;
  readonly holds: boolean;
  readonly stop_needed: number;
  readonly reason: string;
}

export interface OpticsDisc {
  readonly name: string;
  readonly x: number;
  readonly y: number;
  readonly diameter: number;
  readonly mm: number;
  readonly pixels: number;
  readonly stops: number;
  readonly known: boolean;
}

export interface OpticsFit {
  readonly shape: string;
  readonly frame_width: number;
  readonly frame_height: number;
  readonly kept_width: number;
  readonly kept_height: number;
  readonly need_width: number;
  readonly need_height: number;
  readonly step_back: number;
  readonly focal: number;
}

export interface OpticsFrame {
  readonly width: number;
  readonly height: number;
  readonly size_name: string;
  readonly figure: readonly OpticsPart[] | null;
  readonly crops: readonly OpticsKept[] | null;
  readonly core: OpticsBox;
  readonly discs: readonly OpticsDisc[] | null;
  readonly depth: OpticsDepth;
  readonly band: OpticsBand;
}

export interface OpticsKept {
  readonly shape: string;
  readonly box: OpticsBox;
  readonly pixels_width: number;
  readonly pixels_height: number;
  readonly enlarged: number;
  readonly warning?: string;
}

export interface OpticsMove {
  readonly way: string;
  readonly length: number;
  readonly leg: number;
}

export interface OpticsPace {
  readonly metres_per_second: number;
  readonly degrees_per_second: number;
  readonly widths_per_second: number;
  readonly across: number;
  readonly warning?: string;
}

export interface OpticsPair {
  readonly size_ratio: number;
  readonly axis: number;
  readonly together: boolean;
  readonly reason: string;
}

export interface OpticsPart {
  readonly name: string;
  readonly box: OpticsBox;
}

export interface OpticsSensor {
  readonly width_mm: number;
  readonly height_mm: number;
}

export interface OpticsSetup {
  readonly name: string;
  readonly sensor: OpticsSensor;
  readonly pixels_width: number;
  readonly pixels_height: number;
  readonly focal_mm: number;
  readonly stop: number;
  readonly distance: number;
  readonly nearest: number;
  readonly height: number;
  readonly aim: number;
  readonly axis: number;
  readonly move: OpticsMove;
}

export interface Order {
  readonly id: string;
  readonly shape: string;
  readonly width: number;
  readonly height: number;
  readonly span: SongSpan;
  readonly part?: string;
  readonly made: boolean;
}

export interface Other {
  readonly shots: readonly Shot[] | null;
  readonly cost: string;
  readonly words: readonly string[] | null;
  readonly pass: string;
  readonly pins: readonly FilmPin[] | null;
}

export interface Others {
  readonly others: readonly Other[] | null;
}

export interface Pass {
  readonly name: string;
  readonly setup: string;
  readonly status: Status;
  readonly reason: string;
  readonly playback: boolean;
  readonly semitones: number;
  readonly width: number;
  readonly height: number;
  readonly fps: string;
  readonly files: readonly File[] | null;
  readonly ribbons: readonly Ribbon[] | null;
}

export interface Pin {
  readonly id: number;
  readonly kind: PinKind;
  readonly span: SongSpan;
  readonly pass?: string;
  readonly setup?: string;
  readonly strong?: boolean;
  readonly source_start_s?: PassTime;
  readonly speed?: number;
  readonly said?: string;
  readonly words: string;
}

export type PinKind = "show-pass" | "show-setup" | "not-pass" | "not-setup" | "cut" | "no-cut" | "overrule";

export interface PlanBattery {
  readonly name?: string;
  readonly watt_hours: number;
  readonly count?: number;
}

export interface PlanCamera {
  readonly name?: string;
  readonly format?: string;
  readonly sensor?: OpticsSensor;
  readonly pixels_width?: number;
  readonly pixels_height?: number;
  readonly rate?: string;
  readonly iso?: number;
  readonly shutter_s?: number;
  readonly lenses?: readonly PlanLens[];
  readonly megabits_per_s?: number;
  readonly watts?: number;
  readonly cards?: readonly PlanCard[];
  readonly batteries?: readonly PlanBattery[];
}

export interface PlanCard {
  readonly name?: string;
  readonly gb: number;
  readonly used_gb?: number;
}

export interface PlanCharged {
  readonly verdict: PlanVerdict;
  readonly hours?: number;
  readonly needed_hours?: number;
  readonly passes?: number;
  readonly to_pack?: number;
}

export interface PlanCovered {
  readonly verdict: PlanVerdict;
  readonly setups: readonly string[] | null;
  readonly ledger?: CoverageLedger;
  readonly bare: readonly string[] | null;
  readonly mouth_only: readonly string[] | null;
  readonly without: readonly CoverageLoss[] | null;
  readonly outlook?: CoverageOutlook;
}

export interface PlanDay {
  readonly call?: string;
  readonly start?: string;
  readonly key_back?: string;
  readonly voice?: number;
  readonly rules?: ScheduleRules;
  readonly people?: readonly PlanPerson[];
  readonly notes?: string;
}

export interface PlanDayStep {
  readonly setup: string;
  readonly break?: string;
  readonly from: string;
  readonly film: string;
  readonly to: string;
  readonly change?: string;
  readonly passes: string;
}

export interface PlanDefault {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  readonly source: string;
  readonly from: string;
  readonly key: string;
  readonly room: string;
  readonly now: number;
  readonly changed: boolean;
}

export interface PlanDrawn {
  readonly verdict: PlanVerdict;
  readonly room?: RoomRoom;
  readonly gap?: number;
  readonly drawing?: RoomDrawing;
}

export interface PlanFinding {
  readonly answer: Answer;
  readonly say: string;
  readonly about: string;
  readonly topic: string;
}

export interface PlanHours {
  readonly verdict: PlanVerdict;
  readonly hours?: number;
  readonly quoted?: number;
  readonly film_hours?: number;
}

export interface PlanItem {
  readonly name: string;
  readonly count?: number;
  readonly charge?: boolean;
  readonly notes?: string;
}

export interface PlanJob {
  readonly rounds?: number;
  readonly film_hours?: number;
  readonly long?: number;
  readonly matches?: CoverageMatches;
  readonly megabytes_per_s?: number;
}

export interface PlanLaid {
  readonly verdict: PlanVerdict;
  readonly order: readonly string[] | null;
  readonly as_typed_change_minutes: number;
  readonly plan?: SchedulePlan;
  readonly steps: readonly PlanDayStep[] | null;
  readonly finish?: string;
  readonly leave?: string;
  readonly drop: readonly ScheduleDrop[] | null;
}

export interface PlanLamp {
  readonly name: string;
  readonly least_lux?: number;
  readonly most_lux?: number;
  readonly measured_at?: number;
  readonly source?: string;
  readonly radius?: number;
  readonly kelvin?: number;
  readonly watts?: number;
  readonly power_factor?: number;
  readonly cone?: number;
  readonly kept?: number;
  readonly circuit?: string;
  readonly lead?: LightLead;
  readonly on_battery?: boolean;
}

export interface PlanLeadTold {
  readonly lamp: string;
  readonly ways?: readonly RoomLead[];
  readonly lead?: LightLeadCheck;
  readonly verdict: PlanVerdict;
}

export interface PlanLens {
  readonly name: string;
  readonly focal_mm?: number;
  readonly widest_stop?: number;
  readonly nearest?: number;
}

export interface PlanLight {
  readonly name: string;
  readonly lamps?: readonly PlanPlaced[];
  readonly notes?: string;
}

export interface PlanLit {
  readonly name: string;
  readonly setups: readonly string[] | null;
  readonly lamps: readonly PlanLitLamp[] | null;
  readonly places: readonly RoomThing[] | null;
}

export interface PlanLitLamp {
  readonly lamp: string;
  readonly role: string;
  readonly lux: number;
  readonly distance: number;
  readonly supposed?: boolean;
  readonly kelvin?: number;
}

export interface PlanLitSetup {
  readonly verdict: PlanVerdict;
  readonly state?: string;
  readonly exposure?: LightExposure;
  readonly wanted_lux?: number;
  readonly lamps: readonly PlanLitLamp[] | null;
  readonly balance?: LightBalance;
  readonly key_over_fill_stops?: number;
  readonly key_over_back_stops?: number;
  readonly flicker: PlanVerdict;
  readonly shutter?: LightShutterCheck;
}

export interface PlanMusician {
  readonly name?: string;
  readonly height?: number;
  readonly seat?: number;
  readonly at?: RoomPoint;
  readonly faces?: number;
}

export interface PlanMustSee {
  readonly at: string;
  readonly text?: string;
  readonly shows: Shows;
  readonly matches?: number;
}

export interface PlanPacked {
  readonly group: string;
  readonly name: string;
  readonly count: number;
  readonly why?: string;
  readonly charge?: boolean;
}

export interface PlanPair {
  readonly a: string;
  readonly b: string;
  readonly verdict: PlanVerdict;
  readonly pair?: OpticsPair;
  readonly crosses?: boolean;
  readonly opposed?: boolean;
}

export interface PlanPerson {
  readonly name: string;
  readonly does?: string;
  readonly phone?: string;
  readonly call?: string;
}

export interface PlanPlace {
  readonly name?: string;
  readonly address?: string;
  readonly latitude?: number;
  readonly longitude?: number;
  readonly zone?: string;
  readonly date?: string;
}

export interface PlanPlaced {
  readonly lamp: string;
  readonly role?: string;
  readonly at?: RoomPoint;
  readonly height?: number;
  readonly distance?: number;
  readonly bearing?: number;
  readonly elevation?: number;
  readonly dial_lux?: number;
  readonly filters?: readonly LightFilter[];
  readonly furthest?: number;
}

export interface PlanPlan {
  readonly place?: PlanPlace;
  readonly song?: PlanStudy;
  readonly musician?: PlanMusician;
  readonly room?: PlanRoom;
  readonly camera?: PlanCamera;
  readonly setups?: readonly PlanSetup[];
  readonly shapes?: readonly string[];
  readonly lamps?: readonly PlanLamp[];
  readonly lights?: readonly PlanLight[];
  readonly practicals?: readonly PlanPractical[];
  readonly power?: PlanPower;
  readonly kit?: readonly PlanItem[];
  readonly day?: PlanDay;
  readonly job?: PlanJob;
  readonly changed_defaults?: { readonly [key: string]: number | undefined };
}

export interface PlanPlugged {
  readonly verdict: PlanVerdict;
  readonly watts: number;
  readonly loads: readonly LightLoad[] | null;
  readonly sums: readonly LightCircuitSum[] | null;
  readonly leads: readonly PlanLeadTold[] | null;
}

export interface PlanPower {
  readonly mains_hz?: number;
  readonly circuits?: readonly LightCircuit[];
  readonly loads?: readonly LightLoad[];
}

export interface PlanPractical {
  readonly name: string;
  readonly at?: RoomPoint;
  readonly height?: number;
  readonly radius?: number;
  readonly candela?: number;
  readonly luminance?: number;
  readonly wished_stops?: number;
  readonly off_stops?: number;
  readonly kelvin?: number;
  readonly watts?: number;
  readonly circuit?: string;
}

export interface PlanPutBack {
  readonly what: string;
  readonly photo?: string;
}

export interface PlanRoom {
  readonly walls?: readonly RoomLeg[];
  readonly ceiling?: number;
  readonly up?: number;
  readonly openings?: readonly RoomOpening[];
  readonly sockets?: readonly RoomSocket[];
  readonly things?: readonly RoomThing[];
  readonly noise?: readonly string[];
  readonly put_back?: readonly PlanPutBack[];
  readonly notes?: string;
}

export interface PlanSeen {
  readonly name: string;
  readonly camera: OpticsSetup;
  readonly at?: RoomPoint;
  readonly picture: PlanVerdict;
  readonly frame?: OpticsFrame;
  readonly figure_known: boolean;
  readonly shapes: readonly PlanShaped[] | null;
  readonly focus: PlanVerdict;
  readonly depth: PlanVerdict;
  readonly move: PlanVerdict;
  readonly pace?: OpticsPace;
  readonly turns?: readonly PlanTurned[];
  readonly side: PlanVerdict;
  readonly stand: PlanVerdict;
  readonly nearest?: RoomStand;
  readonly mirrors: PlanVerdict;
  readonly mirror?: readonly RoomReflection[];
  readonly in_frame: readonly RoomSeen[] | null;
  readonly walls: readonly RoomSeen[] | null;
  readonly sun?: readonly RoomSunlight[];
  readonly light: PlanLitSetup;
  readonly serves: readonly string[] | null;
  readonly without: string;
}

export interface PlanSetup {
  readonly name: string;
  readonly shows?: Shows;
  readonly size?: Size;
  readonly serves?: readonly string[];
  readonly safety?: boolean;
  readonly angle_deg?: number;
  readonly magnify?: number;
  readonly why?: string;
  readonly lens?: string;
  readonly focal_mm?: number;
  readonly stop?: number;
  readonly distance?: number;
  readonly height?: number;
  readonly aim?: number;
  readonly need_high?: number;
  readonly need_wide?: number;
  readonly position?: string;
  readonly support?: string;
  readonly iso?: number;
  readonly shutter_s?: number;
  readonly nd_stops?: number;
  readonly light?: string;
  readonly wardrobe?: string;
  readonly tuning?: string;
  readonly lines?: readonly string[];
  readonly wanted?: number;
  readonly passes?: number;
  readonly tries?: number;
  readonly loop?: string;
  readonly move?: OpticsMove;
  readonly notes?: string;
}

export interface PlanShaped {
  readonly shape: string;
  readonly verdict: PlanVerdict;
  readonly fit?: OpticsFit;
  readonly cuts?: string;
  readonly grows?: string;
  readonly headroom?: number;
}

export interface PlanStored {
  readonly verdict: PlanVerdict;
  readonly pass_gb?: number;
  readonly passes?: number;
  readonly day_gb?: number;
  readonly passes_fit?: readonly number[];
  readonly to_pack?: number;
  readonly speed_class?: number;
  readonly copy_minutes?: number;
}

export interface PlanStudy {
  readonly duration_s?: number;
  readonly tempo_bpm?: number;
  readonly lines?: readonly PlanStudyLine[];
  readonly must_see?: readonly PlanMustSee[];
  readonly voice_free?: readonly string[];
}

export interface PlanStudyLine {
  readonly section: string;
  readonly text?: string;
  readonly seconds?: number;
}

export interface PlanSung {
  readonly verdict: PlanVerdict;
  readonly from: string;
  readonly duration_s: number;
  readonly tempo_bpm: number;
  readonly lines: readonly PlanSungLine[] | null;
  readonly must_see: readonly CoverageNeed[] | null;
  readonly voice_free: readonly CoverageNeed[] | null;
  readonly changed?: readonly string[];
}

export interface PlanSungLine {
  readonly name: string;
  readonly section: string;
  readonly text?: string;
  readonly span: SongSpan;
}

export interface PlanSunned {
  readonly verdict: PlanVerdict;
  readonly times?: SunTimes;
  readonly rise?: string;
  readonly set?: string;
  readonly on_face: readonly RoomSunlight[] | null;
  readonly in_work?: readonly string[];
}

export interface PlanTold {
  readonly title?: string;
  readonly artist?: string;
  readonly findings: readonly PlanFinding[] | null;
  readonly song: PlanSung;
  readonly shapes: readonly string[] | null;
  readonly setups: readonly PlanSeen[] | null;
  readonly pairs: readonly PlanPair[] | null;
  readonly lights: readonly PlanLit[] | null;
  readonly colours: readonly LightMismatch[] | null;
  readonly power: PlanPlugged;
  readonly sun: PlanSunned;
  readonly room: PlanDrawn;
  readonly cards: PlanStored;
  readonly batteries: PlanCharged;
  readonly day: PlanLaid;
  readonly coverage: PlanCovered;
  readonly hours: PlanHours;
  readonly gates: readonly string[] | null;
  readonly cautions: readonly LightCaution[] | null;
  readonly packing: readonly PlanPacked[] | null;
  readonly defaults: readonly PlanDefault[] | null;
}

export interface PlanTurned {
  readonly at_s: number;
  readonly line: string;
}

export interface PlanVerdict {
  readonly answer: Answer;
  readonly say: string;
}

export interface Planned {
  readonly plan: PlanPlan;
  readonly told: PlanTold;
}

export interface Point {
  readonly x: number;
  readonly y: number;
}

export interface Reading {
  readonly mean: readonly [number, number, number];
  readonly luma: number;
  readonly chroma: number;
  readonly hue: number;
  readonly stops_over: number;
  readonly skin_sector: boolean;
}

export interface Rest {
  readonly at: SongTime;
  readonly breath?: boolean;
}

export interface Ribbon {
  readonly segment: number;
  readonly first: number;
  readonly cells: readonly Cell[] | null;
  readonly span: SongSpan;
  readonly knots: readonly (readonly [number, number])[] | null;
  readonly lays: { readonly [key: number]: Laying | undefined } | null;
}

export interface RoomDrawing {
  readonly low: RoomPoint;
  readonly high: RoomPoint;
  readonly outlines: readonly RoomOutline[] | null;
}

export interface RoomLead {
  readonly socket: string;
  readonly circuit: string;
  readonly length: number;
  readonly doors?: readonly string[];
}

export interface RoomLeg {
  readonly length: number;
  readonly turn: number;
}

export interface RoomOpening {
  readonly name: string;
  readonly kind: string;
  readonly wall: number;
  readonly from: number;
  readonly width: number;
  readonly sill: number;
  readonly top: number;
  readonly thick: number;
  readonly skyline: number;
}

export interface RoomOutline {
  readonly kind: string;
  readonly name: string;
  readonly points: readonly RoomPoint[] | null;
  readonly closed?: boolean;
  readonly radius?: number;
}

export interface RoomPoint {
  readonly x: number;
  readonly y: number;
}

export interface RoomReflection {
  readonly in: string;
  readonly x: number;
  readonly y: number;
}

export interface RoomRoom {
  readonly corners: readonly RoomPoint[] | null;
  readonly ceiling: number;
  readonly up: number;
  readonly openings: readonly RoomOpening[] | null;
  readonly sockets: readonly RoomSocket[] | null;
  readonly things: readonly RoomThing[] | null;
}

export interface RoomSeen {
  readonly name: string;
  readonly kind: string;
  readonly box: OpticsBox;
  readonly depth: number;
}

export interface RoomSocket {
  readonly name: string;
  readonly circuit: string;
  readonly wall: number;
  readonly at: number;
  readonly height: number;
}

export interface RoomStand {
  readonly at: RoomPoint;
  readonly distance: number;
  readonly ok: boolean;
  readonly reason: string;
}

export interface RoomSunlight {
  readonly window: string;
  readonly spans: readonly SunSpan[] | null;
  readonly words: string;
}

export interface RoomThing {
  readonly name: string;
  readonly kind: string;
  readonly at: RoomPoint;
  readonly radius: number;
  readonly height: number;
}

export interface ScheduleDrop {
  readonly setup: string;
  readonly saves_minutes: number;
  readonly per_minute: number;
}

export interface ScheduleOrder {
  readonly setups: readonly number[] | null;
  readonly change_minutes: number;
  readonly broken?: readonly string[];
}

export interface SchedulePair {
  readonly first: string;
  readonly then: string;
}

export interface SchedulePlan {
  readonly order: ScheduleOrder;
  readonly steps: readonly ScheduleStep[] | null;
  readonly work_minutes: number;
  readonly break_minutes: number;
  readonly slack_minutes: number;
  readonly wrap_minutes: number;
  readonly finish: number;
  readonly leave: number;
  readonly spare: number;
  readonly notes: readonly string[] | null;
  readonly dropped: readonly ScheduleDrop[] | null;
}

export interface ScheduleRules {
  readonly safety_first: boolean;
  readonly faces_first: boolean;
  readonly one_relight: boolean;
  readonly inserts_last: boolean;
  readonly before?: readonly SchedulePair[];
  readonly first?: readonly string[];
}

export interface ScheduleStep {
  readonly setup: string;
  readonly start: number;
  readonly end: number;
  readonly change_minutes: number;
  readonly film_minutes: number;
  readonly break_minutes: number;
  readonly full_voice: number;
}

export interface Scopes {
  readonly waveform: string;
  readonly vectorscope: string;
  readonly histogram: string;
  readonly levels: Levels;
  readonly face?: FaceRead;
}

export interface ScopesAsk {
  readonly pass: string;
  readonly at_s: PassTime;
  readonly look?: Look;
  readonly trim?: Trim;
}

export interface Section {
  readonly name: string;
  readonly letter: string;
  readonly span: SongSpan;
  readonly pace_s?: number;
}

export interface Setup {
  readonly name: string;
  readonly shows?: Shows;
  readonly size?: Size;
  readonly serves?: readonly string[];
  readonly safety?: boolean;
  readonly angle_deg?: number;
  readonly magnify?: number;
}

export interface Shot {
  readonly first_frame: Frames;
  readonly end_frame: Frames;
  readonly pass: string;
  readonly clip: number;
  readonly file: string;
  readonly setup: string;
  readonly segment: number;
  readonly source_start_s: PassTime;
  readonly speed: number;
  readonly hold_error_ms: number;
  readonly map_error_ms: number;
  readonly agreement: number;
  readonly worst: number;
  readonly why: string;
  readonly crop?: Crop;
}

export type Shows = "" | "lips" | "hands" | "both" | "neither";

export type Size = "" | "wide" | "mid" | "close" | "insert";

export interface Song {
  readonly duration: SongTime;
  readonly music: SongSpan;
  readonly tempo_bpm: number;
  readonly beats_per_bar: number;
  readonly tuning_cents: number;
  readonly sureness: number;
  readonly beats: readonly Beat[] | null;
  readonly bars: readonly Bar[] | null;
  readonly lines: readonly Line[] | null;
  readonly sections: readonly Section[] | null;
  readonly rests?: readonly Rest[];
  readonly must_see?: readonly MustSee[];
}

export interface SongSpan {
  readonly from: SongTime;
  readonly to: SongTime;
}

export interface Start {
  readonly do: string;
  readonly clips?: string;
}

export type Status = "aligned" | "refused" | "silent";

export type Step = "trim" | "exposure" | "white" | "cdl" | "curve" | "lut-a" | "lut-b" | "edge" | "letterbox";

export interface SunSpan {
  readonly from: number;
  readonly to: number;
}

export interface SunTimes {
  readonly rise: number;
  readonly noon: number;
  readonly set: number;
  readonly always?: string;
}

export interface TableAsk {
  readonly look: Look;
  readonly trim?: Trim;
  readonly quick?: boolean;
}

export interface Trim {
  readonly exposure_stops?: number;
  readonly temperature_mired?: number;
  readonly tint?: number;
  readonly saturation?: number;
}

export interface Wave {
  readonly step_s: number;
  readonly peaks: readonly number[] | null;
}

export interface White {
  readonly kelvin?: number;
  readonly tint?: number;
  readonly shift_mired?: number;
}

export interface Why {
  readonly words: string;
  readonly overrulable: boolean;
}

export interface Wishes {
  readonly shortest_s: number;
  readonly longest_s: number;
  readonly wanted_s: number;
  readonly speed: number;
}

export interface Word {
  readonly span: SongSpan;
  readonly text: string;
  readonly estimated?: boolean;
}

export interface Work {
  readonly do: string;
  readonly stage: string;
  readonly done: number;
  readonly total: number;
  readonly unit: string;
  readonly remaining_s: number;
  readonly note?: string;
  readonly ended: boolean;
  readonly failed?: string;
}
