/* Entries name people by number; the name stands beside them and may have been erased. */
import { useRead } from "../api/client";
import type { Person as Known } from "../api/types";
import { t } from "../base/words";

export function Person({ n }: { n: number }) {
  const read = useRead<{ people: Known[] }>("/people");
  const known = read.data?.people.find((p) => p.number === n);
  return <span class="person">{known?.name ?? t("ui.person.n", { n })}</span>;
}
