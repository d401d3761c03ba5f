/** A narrower interval would be a speck under the end of the bar. */
const LEAST_DRAWN = 0.03;

/** A share from 0 to 1 as a bar in ink, with an interval drawn as a thin line where one is known. */
export function Bar({
  share,
  interval,
}: {
  readonly share: number;
  readonly interval?: readonly [number, number];
}) {
  return (
    <svg className={interval === undefined ? "bar" : "bar bar-with-interval"} aria-hidden="true">
      <rect className="bar-ground" width="100%" height="10" rx="5" />
      {share <= 0 ? null : (
        <rect
          className="bar-value"
          width={`${Math.max(1.5, share * 100)}%`}
          height="10"
          rx={share < 0.03 ? 1 : 5}
        />
      )}
      {interval === undefined || interval[1] - interval[0] < LEAST_DRAWN ? null : (
        <line
          className="bar-interval"
          x1={`${interval[0] * 100}%`}
          x2={`${interval[1] * 100}%`}
          y1="14"
          y2="14"
        />
      )}
    </svg>
  );
}
