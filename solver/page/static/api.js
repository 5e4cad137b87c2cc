// Asking the server. What changes something carries the token that only this page was given.

const TOKEN = document.querySelector("meta[name=token]").content;

export class Refused extends Error {
  constructor(status, facts) {
    super(facts.message || "the server does not answer as it should");
    this.status = status;
    this.facts = facts;
  }
}

export function path(...parts) {
  return `/api/${parts.map((part) => encodeURIComponent(part)).join("/")}`;
}

export async function get(address) {
  return answered(await reached(fetch(address)));
}

export async function send(method, address, body) {
  const raw = body instanceof Blob;
  const options = {
    method,
    headers: { "x-sennit-token": TOKEN, "content-type": raw ? "application/octet-stream" : "application/json" },
    body: raw ? body : JSON.stringify(body ?? {}),
  };
  return answered(await reached(fetch(address, options)));
}

async function reached(request) {
  try {
    return await request;
  } catch {
    throw new Refused(0, { message: "the server does not answer; start sennit page again and reload" });
  }
}

async function answered(response) {
  let facts = {};
  try {
    facts = await response.json();
  } catch {
    if (response.ok) throw new Refused(response.status, {});
  }
  if (!response.ok) throw new Refused(response.status, facts);
  return facts;
}
