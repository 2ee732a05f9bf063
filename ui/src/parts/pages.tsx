/* A list that comes in parts: the first stays live, further ones are asked for. */
import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import { fetchOnce, useRead } from "../api/client";
import type { Problem } from "../api/types";
import { t } from "../base/words";
import { asProblem } from "../shell/told";
import { ProblemNote, Shown } from "./read";

type Part<Row, Name extends string> = Record<Name, Row[]> & { next: string | null };

export function Pages<Row, Name extends string>({ path, list, children }: {
  path: string; list: Name; children: (rows: Row[]) => ComponentChildren;
}) {
  const read = useRead<Part<Row, Name>>(path);
  const [more, setMore] = useState<{ rows: Row[]; next: string | null } | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  return (
    <Shown read={read}>
      {(first) => {
        const next = more ? more.next : first.next;
        const load = async () => {
          const cursor = encodeURIComponent(next ?? "");
          try {
            const part = await fetchOnce<Part<Row, Name>>(`${path}${path.includes("?") ? "&" : "?"}cursor=${cursor}`);
            setMore({ rows: [...(more?.rows ?? []), ...part[list]], next: part.next });
            setProblem(null);
          } catch (error) {
            setProblem(asProblem(error));
          }
        };
        return (
          <>
            {children([...first[list], ...(more?.rows ?? [])])}
            <ProblemNote problem={problem} />
            {next ? <div class="actions"><button type="button" onClick={() => void load()}>{t("ui.more-rows")}</button></div> : null}
          </>
        );
      }}
    </Shown>
  );
}
