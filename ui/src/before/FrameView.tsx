import type { OpticsBox, OpticsFrame, PlanSeen } from "../api/types";

const wide = 160; // units of the drawing for the frame's width

/** The frame of a setup to scale: figure, what the shapes keep, discs of lamps; the depth of field beneath. */
export function FrameView({ seen, small }: { readonly seen: PlanSeen; readonly small?: boolean }) {
  const f = seen.frame;
  if (!f) return <div class="tb-frame tb-frame-open">{seen.picture.say}</div>;
  const high = (wide * f.height) / f.width;
  const sharp = !small && (f.depth.endless === true || f.depth.far > 0);
  const depth = sharp ? 22 : 0;
  const box = (b: OpticsBox) => ({ x: b.x * wide, y: b.y * high, width: Math.max(0, b.width * wide), height: Math.max(0, b.height * high) });
  return (
    <svg class="tb-frame" viewBox={`0 0 ${wide} ${high + depth}`} role="img" aria-label={frameText(seen, f)}>
      <svg width={wide} height={high} viewBox={`0 0 ${wide} ${high}`}>
        <rect class="tb-frame-ground" width={wide} height={high} />
        {(seen.walls ?? [])
          .filter((w) => w.kind !== "wall")
          .map((w, i) => (
            <rect key={`wall ${i}`} class="tb-frame-behind" data-kind={w.kind} {...box(w.box)} />
          ))}
        {(f.discs ?? []).map((d, i) => (
          <circle key={`disc ${i}`} class="tb-disc" data-known={d.known ? "" : undefined} cx={d.x * wide} cy={d.y * high} r={Math.max(0.4, (d.diameter * wide) / 2)}>
            <title>{discText(d.name, d.pixels, d.known ? d.stops : undefined)}</title>
          </circle>
        ))}
        {(seen.in_frame ?? [])
          .filter((t) => t.kind === "lamp" || t.kind === "furniture")
          .map((t, i) => (
            <rect key={`thing ${i}`} class="tb-frame-thing" data-kind={t.kind} {...box(t.box)}>
              <title>{t.name}</title>
            </rect>
          ))}
        {(seen.mirror ?? []).map((m, i) => (
          <path key={`mirror ${i}`} class="tb-frame-mirrored" d={`M ${m.x * wide - 3} ${m.y * high - 2} h 6 v 4 h -6 Z M ${m.x * wide - 1} ${m.y * high} h 2`}>
            <title>the camera in {m.in}</title>
          </path>
        ))}
        <g class="tb-figure">
          {(f.figure ?? []).map((p) => {
            const b = box(p.box);
            const round = p.name === "head" ? b.width / 2 : p.name === "neck" ? 0 : Math.min(b.width, b.height) * 0.22;
            return <rect key={p.name} {...b} rx={round} ry={p.name === "head" ? b.height / 2 : round} />;
          })}
        </g>
        {small || seen.figure_known ? undefined : (
          <text class="tb-frame-note" x={wide / 2} y={high / 2} text-anchor="middle">
            the figure stands here once the lens’s height is typed
          </text>
        )}
        {small
          ? undefined
          : (f.crops ?? []).map((c, i) => {
              const b = box(c.box);
              const failing = (seen.shapes ?? []).some((s) => s.shape === c.shape && s.verdict.answer === "does not work");
              return (
                <g key={c.shape} class="tb-crop" data-line={i % 4} data-fails={failing ? "" : undefined}>
                  <rect {...b} />
                  <text x={b.x + b.width - 1.6} y={b.y + 5.4} text-anchor="end">
                    {c.shape}
                  </text>
                </g>
              );
            })}
      </svg>
      {sharp ? <DepthBand frame={f} top={high} /> : undefined}
    </svg>
  );
}

/** What is sharp, from the lens on the left to twice the musician's distance. */
function DepthBand({ frame, top }: { readonly frame: OpticsFrame; readonly top: number }) {
  const b = frame.band;
  const y = top + 8;
  const x = (share: number): number => share * wide;
  return (
    <g class="tb-depth" data-fails={frame.depth.holds ? undefined : ""}>
      <path class="tb-depth-axis" d={`M 0 ${y} H ${wide}`} />
      <rect class="tb-depth-sharp" x={x(b.near)} y={y - 3} width={Math.max(0.5, x(b.far - b.near))} height={6} />
      <path class="tb-depth-sway" d={`M ${x(b.sway_near)} ${y - 4.5} V ${y + 4.5} M ${x(b.sway_far)} ${y - 4.5} V ${y + 4.5}`} />
      <path class="tb-depth-subject" d={`M ${x(b.subject)} ${y - 5} V ${y + 5}`} />
      <text x={0} y={y + 11}>
        lens
      </text>
      <text x={x(b.subject)} y={y + 11} text-anchor="middle">
        musician
      </text>
      <text x={wide} y={y + 11} text-anchor="end">
        {frame.depth.endless ? "sharp on and on" : `sharp ${frame.depth.near.toFixed(2)} to ${frame.depth.far.toFixed(2)} m`}
      </text>
    </g>
  );
}

const discText = (name: string, pixels: number, stops: number | undefined): string => `${name}: a disc of ${Math.round(pixels)} pixels${stops === undefined ? "" : `, ${stops >= 0 ? "+" : "−"}${Math.abs(stops).toFixed(1)} stops over the scene`}`;

function frameText(seen: PlanSeen, f: OpticsFrame): string {
  const discs = (f.discs ?? []).map((d) => discText(d.name, d.pixels, d.known ? d.stops : undefined));
  const cuts = (seen.shapes ?? []).map((s) => `${s.shape} ${s.cuts ? s.cuts : "keeps the figure"}`);
  return [`frame of ${seen.name}, ${f.size_name}, ${f.width.toFixed(2)} by ${f.height.toFixed(2)} m`, ...cuts, ...discs].join("; ");
}
