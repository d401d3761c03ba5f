/**
 * A share from -1 to 1 as a bar from the middle: to the right and full where it is for, to the left and hollow
 * against.
 */
export function SignedBar({ strength }: { readonly strength: number }) {
  const width = Math.min(50, Math.abs(strength) * 50);
  return (
    <svg className="bar" aria-hidden="true">
      <rect className="bar-ground" width="100%" height="10" rx="5" />
      {width < 0.5 ? null : (
        <rect
          className={strength > 0 ? "bar-value" : "bar-against"}
          x={`${strength > 0 ? 50 : 50 - width}%`}
          y={strength > 0 ? 0 : 1}
          width={`${width}%`}
          height={strength > 0 ? 10 : 8}
          rx="1"
        />
      )}
      <line className="bar-middle" x1="50%" x2="50%" y1="0" y2="10" />
    </svg>
  );
}
