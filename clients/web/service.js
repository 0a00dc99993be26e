// The only file of the page that knows an address of the service.

const PATIENCE_MS = 20000;
const SESSION = "/v1/session";

/** Why there is no answer: `gone` when the service cannot be reached, else what the service itself said. */
export class Trouble extends Error {
  constructor(said, { gone = false, status = 0, fields = [] } = {}) {
    super(said);
    this.gone = gone;
    this.status = status;
    this.fields = fields;
  }
}

let token = null; // goes with every change while somebody is logged in

async function call(method, path, body, { signal, key, patience: most = PATIENCE_MS } = {}) {
  let response;
  const headers = { Accept: "application/json" };
  if (body !== undefined) headers["Content-Type"] = "application/json";
  if (key) headers["Idempotency-Key"] = key;
  if (token !== null && method !== "GET") headers["X-CSRF-Token"] = token;
  try {
    const patience = AbortSignal.timeout(most);
    response = await fetch(path, {
      method,
      headers,
      body: body === undefined ? undefined : JSON.stringify(body),
      signal: signal ? AbortSignal.any([patience, signal]) : patience,
      cache: "no-store",
    });
  } catch {
    throw new Trouble("The service does not answer.", { gone: true });
  }
  let document;
  try {
    document = await response.json();
  } catch {
    throw new Trouble("The answer broke off on its way.", { gone: true });
  }
  if (response.ok) return document;
  if (response.status === 401 && path !== SESSION) window.dispatchEvent(new Event("login-needed"));
  throw new Trouble(document.detail || document.title || `The service refused this (${response.status}).`, {
    status: response.status,
    gone: response.status === 502 || response.status === 504,
    fields: document.errors ?? [],
  });
}

/** Whether a paper can be printed: null, or the Trouble that says why not. */
export async function locked(path) {
  try {
    const response = await fetch(path, { headers: { Accept: "application/pdf, application/problem+json" }, signal: AbortSignal.timeout(PATIENCE_MS), cache: "no-store" });
    if (response.ok) return null;
    const document = await response.json();
    return new Trouble(document.detail || document.title, { status: response.status });
  } catch {
    return new Trouble("The service does not answer.", { gone: true });
  }
}

const at = (text) => encodeURIComponent(text);

export const openTalk = async () => (await call("POST", "/v1/conversations")).conversation;
export const talk = (id) => call("GET", `/v1/conversations/${at(id)}`);
export const sayTo = (id, message) => call("POST", `/v1/conversations/${at(id)}/messages`, message);
export const plan = (id) => call("GET", `/v1/plans/${at(id)}`);
export const tryOut = (id, body) => call("POST", `/v1/plans/${at(id)}/trial`, body);
export const record = (id, body, key) => call("POST", `/v1/plans/${at(id)}/preparations`, body, { key });
export const preparation = (id) => call("GET", `/v1/preparations/${at(id)}`);
export const correct = (id, body) => call("POST", `/v1/preparations/${at(id)}/corrections`, body);
export const titrations = async (id) => (await call("GET", `/v1/preparations/${at(id)}/standardisations`)).standardisations;
export const titrate = (id, body) => call("POST", `/v1/preparations/${at(id)}/standardisations`, body);
export const preparations = (after) => call("GET", `/v1/preparations?${new URLSearchParams({ limit: "25", ...(after ? { after: String(after) } : {}) })}`);
export const printed = (id, paper) => `/v1/preparations/${at(id)}/${paper}`;
export const onShelf = (id) => call("GET", `/v1/plans/${at(id)}/shelf`);
export const reading = (text, signal) => call("POST", "/v1/readings", { text }, { signal });
export const check = (body) => call("POST", "/v1/checks", body);
export const substances = (words) => call("GET", `/v1/substances?q=${at(words)}`);
export const substance = (slug) => call("GET", `/v1/substances/${at(slug)}`);
export const health = () => call("GET", "/v1/health");

async function entered(session) {
  const found = await session;
  token = found.csrf_token ?? null;
  return found;
}

export const session = () => entered(call("GET", SESSION));
export const logIn = (name, password) => entered(call("POST", SESSION, { name, password }));
export const logOut = () => call("DELETE", SESSION);
export const decide = (id, decision) => call("POST", `/v1/plans/${at(id)}/approval`, decision);

export function approvals(state, after) {
  const asked = new URLSearchParams({ state, limit: "25" });
  if (after) asked.set("after", after);
  return call("GET", `/v1/approvals?${asked}`);
}

export const audit = (wanted, after) => call("GET", `/v1/audit?${new URLSearchParams({ ...wanted, limit: "25", ...(after ? { after } : {}) })}`);
export const auditFile = (wanted, format) => `/v1/audit/export?${new URLSearchParams({ ...wanted, format })}`;

export function plans(outcome, after) {
  const asked = new URLSearchParams({ limit: "25" });
  if (outcome) asked.set("outcome", outcome);
  if (after) asked.set("after", String(after));
  return call("GET", `/v1/plans?${asked}`);
}

const held = new Map();

/** Once asked, kept: facts that do not change while the service runs. */
function once(path) {
  if (!held.has(path)) {
    const answer = call("GET", path);
    held.set(path, answer);
    answer.catch(() => held.delete(path));
  }
  return held.get(path);
}

export const source = (id) => once(`/v1/sources/${at(id)}`);
export const rules = async () => new Map((await once("/v1/rules")).rules.map((rule) => [rule.id, rule]));

/** A key under which the service counts a change once, however often it is sent. */
export const freshKey = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");
const query = (wanted, after) => new URLSearchParams({ ...wanted, limit: "25", ...(after ? { after: String(after) } : {}) });

export const bottles = (wanted, after) => call("GET", `/v1/shelf?${query(wanted, after)}`);
export const bottle = (id) => call("GET", `/v1/shelf/${at(id)}`);
export const family = (id) => call("GET", `/v1/shelf/${at(id)}/family`);
export const addBottle = (body, key) => call("POST", "/v1/shelf", body, { key });
export const happen = (id, body, key) => call("POST", `/v1/shelf/${at(id)}/events`, body, { key });
export const withdraw = (id, reason) => call("POST", `/v1/plans/${at(id)}/withdrawal`, { reason });
export const verified = () => call("GET", "/v1/audit/verification", undefined, { patience: 600000 });
export const policies = (after) => call("GET", `/v1/policies?${query({}, after)}`);
export const policy = (n) => call("GET", `/v1/policies/${at(n)}`);
export const policyDiff = (n) => call("GET", `/v1/policies/${at(n)}/diff`, undefined, { patience: 120000 });
export const propose = (body) => call("POST", "/v1/policies", body, { patience: 120000 });
export const decidePolicy = (n, decision) => call("POST", `/v1/policies/${at(n)}/decision`, decision);
export const contract = () => once("/openapi.json");
export const days = (after) => call("GET", `/v1/days?${query({}, after)}`);
export const day = (id) => call("GET", `/v1/days/${at(id)}`);
export const daySheet = (id) => `/v1/days/${at(id)}/sheet`;
