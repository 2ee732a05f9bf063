/* Stepping up on a shared device: scan the badge, or one's number and PIN on large keys. */
import { useEffect, useRef, useState } from "preact/hooks";
import { ownProblem, Unreached } from "../api/client";
import type { Problem } from "../api/types";
import { t } from "../base/words";
import { Pad, padded } from "../parts/pad";
import { ProblemNote } from "../parts/read";
import { useScan } from "../record/listen";
import { badgeHere, knownPeople, stepUp, stepUpByBadge, stepUpHere } from "../shell/session";
import { asProblem } from "../shell/told";

export function StepUp() {
  const [person, setPerson] = useState("");
  const [pin, setPin] = useState("");
  const [at, setAt] = useState<"person" | "pin">("person");
  const [problem, setProblem] = useState<Problem | null>(null);
  const [known, setKnown] = useState<{ person: number; name: string | null }[]>([]);
  const field = useRef<HTMLInputElement>(null);
  useEffect(() => {
    void knownPeople().then((list) => setKnown(list));
  }, []);
  useEffect(() => {
    field.current?.focus();
  }, [at]);
  useScan((scan) => {
    const here = async (error: unknown) => {
      if (!(error instanceof Unreached)) setProblem(asProblem(error));
      else if (!(await badgeHere(scan.code))) setProblem(ownProblem("badge", t("ui.pin.badge.not-here")));
    };
    stepUpByBadge(scan.code).catch((error: unknown) => void here(error));
  });
  const next = async (event?: Event) => {
    event?.preventDefault();
    if (at === "person") {
      if (person !== "") setAt("pin");
      return;
    }
    try {
      await stepUp(Number(person), pin);
    } catch (error) {
      if (error instanceof Unreached) {
        if (!(await stepUpHere(Number(person), pin))) setProblem(ownProblem("pin", t("ui.pin.not-here")));
      } else {
        setProblem(asProblem(error));
      }
      setPin("");
    }
  };
  const isPerson = at === "person";
  return (
    <form class="step-up" onSubmit={(e) => void next(e)}>
      <p class="step-up-lead">{t("ui.pin.lead")}</p>
      {isPerson && known.length > 0 ? (
        <div class="step-up-known">
          {known.map((k) => (
            <button
              type="button" key={k.person}
              onClick={() => {
                setPerson(String(k.person));
                setAt("pin");
              }}
            >
              {k.name ?? k.person}
            </button>
          ))}
        </div>
      ) : null}
      <label class="field">
        <span class="field-label">{isPerson ? t("ui.sign-in.number") : t("ui.pin.of", { n: known.find((k) => String(k.person) === person)?.name ?? person })}</span>
        <input
          ref={field} inputMode="none" class="figure pad-field" autocomplete="off"
          type={isPerson ? "text" : "password"} value={isPerson ? person : pin}
          onInput={(e) => {
            const value = e.currentTarget.value.replace(/\D/g, "");
            if (isPerson) setPerson(value);
            else setPin(value);
          }}
        />
      </label>
      <ProblemNote problem={problem} />
      <Pad
        label={t("ui.pad")}
        press={(key) => {
          setProblem(null);
          if (isPerson) setPerson(padded(person, key));
          else setPin(padded(pin, key));
        }}
      />
      <div class="actions">
        {isPerson ? null : (
          <button
            type="button"
            onClick={() => {
              setAt("person");
              setPin("");
            }}
          >
            {t("ui.back")}
          </button>
        )}
        <button type="submit" class="act">{t(isPerson ? "ui.next" : "ui.pin.do")}</button>
      </div>
    </form>
  );
}
