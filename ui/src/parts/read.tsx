/* What stands around an answer of the server: waiting, refused, from the device with its age, empty. */
import type { ComponentChildren } from "preact";
import type { Read } from "../api/client";
import type { Problem } from "../api/types";
import { now, tick } from "../base/clock";
import { span } from "../base/format";
import { t } from "../base/words";
import { Mark } from "./mark";

export function ProblemNote({ problem }: { problem: Problem | null }) {
  if (!problem) return null;
  return (
    <div class="note note-stopped" role="alert">
      <Mark tone="stopped" />
      <p>{problem.detail || problem.title}</p>
    </div>
  );
}

export function Old({ read }: { read: Read<unknown> }) {
  void tick.value;
  if (!read.isOld || read.data === null) return null;
  return (
    <p class="note note-waiting" role="status">
      <Mark tone="waiting" />
      <span>{t("ui.offline.old", { age: span(now() - read.at_ms) })}</span>
    </p>
  );
}

/* The answer, or what there is to say while there is none. */
export function Shown<T>({ read, children }: { read: Read<T>; children: (data: T) => ComponentChildren }) {
  if (read.data === null) {
    if (read.problem) return <ProblemNote problem={read.problem} />;
    if (read.isOld) {
      return (
        <div class="empty">
          <p class="empty-title">{t("ui.offline.nothing")}</p>
          <p>{t("ui.offline.nothing.do")}</p>
        </div>
      );
    }
    return <p class="loading" role="status">{t("ui.loading")}</p>;
  }
  return (
    <>
      <Old read={read} />
      <ProblemNote problem={read.problem} />
      {children(read.data)}
    </>
  );
}

/* An empty page says what to do first. */
export function Empty({ title, children }: { title: string; children?: ComponentChildren }) {
  return (
    <div class="empty">
      <svg class="empty-seed" viewBox="0 0 120 40" aria-hidden="true">
        <path d="M0 30h120" /><ellipse cx="60" cy="22" rx="7" ry="10" transform="rotate(28 60 22)" />
      </svg>
      <p class="empty-title">{title}</p>
      {children}
    </div>
  );
}
