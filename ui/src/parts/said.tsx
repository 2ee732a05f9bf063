/* A sentence of the record: a code in it stays in one piece at the end of a line. */
const CODE = /([A-Za-z0-9]+(?:-[A-Za-z0-9]+)+)/;

export function Said({ text }: { text: string }) {
  return <>{text.split(CODE).map((part, i) => (i % 2 === 1 ? <span key={i} class="whole">{part}</span> : part))}</>;
}
