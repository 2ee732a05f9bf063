/* Whether an entry stands in the signed tree, worked out here in the browser. */
import { useEffect, useState } from "preact/hooks";
import type { Entry } from "../api/types";
import { isIncluded, isSigned } from "../base/proof";
import { t } from "../base/words";
import { State } from "./mark";

type Verdict = "working" | "right" | "wrong" | "unable";

function useProof(e: Entry): { tree: Verdict; head: Verdict } {
  const [tree, setTree] = useState<Verdict>("working");
  const [head, setHead] = useState<Verdict>("working");
  useEffect(() => {
    const check = async () => {
      if (!crypto.subtle) {
        setTree("unable");
        setHead("unable");
        return;
      }
      const isIn = await isIncluded({ leaf: e.leaf, ...e.proof });
      setTree(isIn ? "right" : "wrong");
      const h = e.proof.head;
      if (!h) return;
      const signed = await isSigned(h);
      setHead(signed === null ? "unable" : signed && h.root === e.proof.root && h.size === e.proof.size ? "right" : "wrong");
    };
    void check();
  }, [e]);
  return { tree, head };
}

function Says({ verdict, of }: { verdict: Verdict; of: "tree" | "head" }) {
  const tone = verdict === "right" ? "done" : verdict === "wrong" ? "stopped" : "waiting";
  return <State tone={tone} text={t(`ui.proof.${of}.${verdict}`)} />;
}

export function ProofStates({ e }: { e: Entry }) {
  const { tree, head } = useProof(e);
  return (
    <>
      <p role="status"><Says verdict={tree} of="tree" /></p>
      {e.proof.head ? <p role="status"><Says verdict={head} of="head" /></p> : <p><State tone="waiting" text={t("ui.proof.no-head")} /></p>}
    </>
  );
}
