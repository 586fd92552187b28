// Asks the device for a passkey: to be added on the account, or to sign in. Without this
// script the forms stay hidden, and the password signs in.
"use strict";
(() => {
  if (!window.PublicKeyCredential) return;
  const bytes = (text) => Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), (c) => c.charCodeAt(0));
  const text = (buffer) => btoa(String.fromCharCode(...new Uint8Array(buffer))).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
  const known = (list) => (list || []).map((key) => ({ ...key, id: bytes(key.id) }));

  const post = async (address, body) => {
    const answer = await fetch(address, { method: "POST", body });
    const said = await answer.json().catch(() => ({ trouble: "The server did not answer as it should." }));
    if (!answer.ok) throw new Error(said.trouble);
    return said;
  };

  const make = async (asked) => {
    const key = await navigator.credentials.create({
      publicKey: { ...asked, challenge: bytes(asked.challenge), user: { ...asked.user, id: bytes(asked.user.id) }, excludeCredentials: known(asked.excludeCredentials) },
    });
    const said = key.response;
    return {
      id: key.id, rawId: text(key.rawId), type: key.type,
      response: { clientDataJSON: text(said.clientDataJSON), attestationObject: text(said.attestationObject), transports: said.getTransports ? said.getTransports() : [] },
    };
  };

  const show = async (asked) => {
    const key = await navigator.credentials.get({ publicKey: { ...asked, challenge: bytes(asked.challenge), allowCredentials: known(asked.allowCredentials) } });
    const said = key.response;
    return {
      id: key.id, rawId: text(key.rawId), type: key.type,
      response: {
        clientDataJSON: text(said.clientDataJSON), authenticatorData: text(said.authenticatorData), signature: text(said.signature),
        userHandle: said.userHandle ? text(said.userHandle) : null,
      },
    };
  };

  const ways = {
    add: { address: "/account/passkey", answer: make },
    "sign-in": { address: "/sign-in/passkey", answer: show },
  };
  for (const form of document.querySelectorAll("form[data-passkey]")) {
    const way = ways[form.dataset.passkey];
    const trouble = form.querySelector("[role=alert]");
    form.hidden = false;
    form.addEventListener("submit", async (event) => {
      event.preventDefault();
      trouble.hidden = true;
      const typed = new FormData(form);
      try {
        const asked = await post(`${way.address}/begin`, new URLSearchParams(typed));
        const answer = await way.answer(asked);
        const said = await post(way.address, JSON.stringify({ challenge: asked.challenge, name: typed.get("name") || "", next: typed.get("next") || "/", answer }));
        location.assign(said.to);
      } catch (error) {
        trouble.textContent = error.name === "NotAllowedError" ? "The device showed no passkey." : error.message;
        trouble.hidden = false;
      }
    });
  }
})();
