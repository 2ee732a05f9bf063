/* A file to the server, with how much of it has gone, and a way to stop. */
import { t } from "../base/words";
import { BASE, langOf, problemOf, Refused, signedOut, Unreached } from "./client";

const PATIENCE_MS = 150000; /* longer than the server takes to read the largest file */

export interface Upload<T> {
  answer: Promise<T>;
  stop: () => void;
}

/* sent: share of the bytes, 0 to 1; at 1 the server is at work. */
export function upload<T>(path: string, body: object, sent: (share: number) => void): Upload<T> {
  const request = new XMLHttpRequest();
  const answer = new Promise<T>((done, fail) => {
    request.open("POST", `${BASE}${path}?lang=${langOf()}`);
    request.setRequestHeader("Content-Type", "application/json");
    request.setRequestHeader("X-Plumule", "1");
    request.timeout = PATIENCE_MS;
    request.upload.onprogress = (e) => {
      if (e.lengthComputable && e.total > 0) sent(e.loaded / e.total);
    };
    request.upload.onload = () => sent(1);
    request.onload = () => {
      let read: unknown = null;
      try {
        read = JSON.parse(request.responseText);
      } catch {
        /* said below as unreadable */
      }
      if (request.status >= 200 && request.status < 300) done(read as T);
      else {
        const problem = problemOf(request.status, read);
        if (problem.status === 401) signedOut.call();
        fail(new Refused(problem));
      }
    };
    request.onerror = () => fail(new Unreached(t("ui.offline.unreached")));
    request.ontimeout = request.onerror;
    request.onabort = () => fail(new Unreached(t("ui.files.stopped")));
    request.send(JSON.stringify(body));
  });
  return { answer, stop: () => request.abort() };
}

/* The bytes of a file in base64. */
export function base64Of(file: Blob): Promise<string> {
  return new Promise((done, fail) => {
    const reader = new FileReader();
    reader.onload = () => done(String(reader.result).slice(String(reader.result).indexOf(",") + 1));
    reader.onerror = () => fail(new Unreached(t("ui.files.unreadable")));
    reader.readAsDataURL(file);
  });
}
