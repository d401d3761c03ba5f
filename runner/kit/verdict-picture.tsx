import { formatQuantity, type UnitSystem } from "../../engine/quantity/format.ts";
import type { JudgedReading } from "../../engine/quantity/judge.ts";
import { shownDigit } from "./shown-digit.ts";
import { PICTURE, verdictGeometry } from "./verdict-geometry.ts";
import { limitsText, type VerdictZone } from "./verdict-zones.ts";

const LABEL_ROW = 18;
const ZONE_BOTTOM = PICTURE.zoneTop + PICTURE.zoneHeight;

/** Limits as zones, the reading as a line with its shape on top, its doubt as a hump. */
export function VerdictPicture({
  judged,
  zones,
  system,
}: {
  readonly judged: JudgedReading;
  readonly zones: readonly VerdictZone[];
  readonly system?: UnitSystem;
}) {
  const drawn = verdictGeometry(judged.value, judged.u, zones, judged.verdict === "too-close");
  const rows = Math.max(0, ...drawn.limits.map((limit) => limit.row)) + 1;
  const height = ZONE_BOTTOM + 10 + rows * LABEL_ROW;
  const reading = clampReading(drawn.reading);
  const options = system ? { system } : {};
  return (
    <svg
      className="verdict-picture"
      viewBox={`0 0 ${PICTURE.width} ${height}`}
      role="img"
      aria-label={pictureText(judged, zones, options)}
    >
      {drawn.hump === undefined ? null : <path className="verdict-hump" d={drawn.hump} />}
      {drawn.zones.map(({ x, width, zone }) => (
        <rect
          key={zone.outcome}
          className={`verdict-zone verdict-zone-${toneOf(zone, judged)}`}
          x={x}
          y={PICTURE.zoneTop}
          width={width}
          height={PICTURE.zoneHeight}
        />
      ))}
      {drawn.limits.map((limit) => (
        <g key={limit.value}>
          <path className="verdict-limit" d={`M${limit.x} ${PICTURE.zoneTop - 5}V${ZONE_BOTTOM + 5}`} />
          <text className="verdict-label" x={limit.at} y={ZONE_BOTTOM + 20 + limit.row * LABEL_ROW}>
            {formatQuantity(limit.value, judged.unit, options)}
          </text>
        </g>
      ))}
      <path className="verdict-line" d={`M${reading} 14V${ZONE_BOTTOM + 6}`} />
      <path
        className="verdict-head"
        d={
          drawn.beyond === "high"
            ? `M${reading - 4} 6l10 6-10 6z`
            : drawn.beyond === "low"
              ? `M${reading + 4} 6l-10 6 10 6z`
              : `M${reading - 7} 6h14l-7 10z`
        }
      />
    </svg>
  );
}

/** The line keeps its head inside the picture. */
function clampReading(x: number): number {
  return Math.min(PICTURE.width - 8, Math.max(8, x));
}

function toneOf(zone: VerdictZone, judged: JudgedReading): string {
  if (zone.tone !== "band") return zone.tone;
  return zone.outcome === judged.picked ? "here" : "band";
}

function pictureText(
  judged: JudgedReading,
  zones: readonly VerdictZone[],
  options: { readonly system?: UnitSystem },
): string {
  const doubt =
    judged.u === undefined
      ? ""
      : `, give or take ${formatQuantity(Number((2 * judged.u).toPrecision(2)), judged.unit)}`;
  const limits = zones.map(
    (zone) => `${zone.label} ${limitsText(zone, (value) => formatQuantity(value, judged.unit, options))}`,
  );
  const reading = formatQuantity(judged.value, judged.unit, { ...options, ...shownDigit(judged) });
  return `Reading ${reading}${doubt}. ${limits.join("; ")}.`;
}
