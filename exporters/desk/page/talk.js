// Calls to the program, which alone knows anything about gates.

const KEPT = "leafstack-desk-pass";
let pass = "";

/** Thrown where the program has refused, with what it says. */
export class Refused extends Error {
  constructor(status, words) {
    super(words);
    this.status = status;
  }
  /** A newer state of the gate has taken its place: nothing is wrong. */
  get isLate() {
    return this.status === 409;
  }
}

export async function send(target, body) {
  let answer;
  try {
    answer = await fetch(target, {
      method: "POST", cache: "no-store", credentials: "omit",
      headers: { "Content-Type": "application/json", ...(pass ? { "X-Desk-Pass": pass } : {}) },
      body: JSON.stringify(body),
    });
  } catch {
    throw new Refused(0, "The program that this page belongs to does not answer; it may have ended. What you did last is kept beside the gate file.");
  }
  if (answer.ok) return answer;
  const said = await answer.json().catch(() => ({}));
  throw new Refused(answer.status, said.refused ?? said.fault ?? `refused (${answer.status})`);
}

export const ask = async (target, body = {}) => (await send(target, body)).json();

/** Lines of JSON as they come. */
export async function follow(target, body, onLine) {
  const answer = await send(target, body);
  const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return;
    const lines = (rest + value).split("\n");
    rest = lines.pop();
    for (const line of lines) if (line) onLine(JSON.parse(line));
  }
}

/** The address's code is exchanged for a pass, which stays in this tab; the code goes from the address. */
export async function begin() {
  const code = location.hash.slice(1);
  history.replaceState(null, "", location.pathname);
  if (/^[0-9a-f]{32}$/.test(code)) {
    pass = (await ask("/begin", { code })).pass;
    sessionStorage.setItem(KEPT, pass);
  } else {
    pass = sessionStorage.getItem(KEPT) ?? "";
  }
}
