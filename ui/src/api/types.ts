// Made from the Go types by a test in internal/workbench/page; do not edit.
import type { Frames, PassTime, SongTime } from "../base/time";

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
