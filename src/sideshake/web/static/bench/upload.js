// Sends a form's files with a bar that shows how far it is, and shows on this page what became of
// them. Without script the same form is sent as every other.
"use strict";
(() => {
  const MB = 1e6;
  const ASK_AGAIN_MS = 1500;
  const MOST_SILENT = 8; // unanswered questions in a row, twelve seconds and more

  const prepare = (form) => {
    const room = form.querySelector("[data-part=upload]");
    const part = Object.fromEntries([...room.querySelectorAll("[data-part]")].map((each) => [each.dataset.part, each]));
    const words = Object.fromEntries([...part.words.children].map((each) => [each.dataset.word, each.textContent]));
    const fields = [...form.querySelectorAll("input[type=file]")];
    const button = form.querySelector("button:not([type=button])");
    let request = null;
    let sent = 0;
    let total = 0;

    const mb = (bytes) => (bytes / MB).toFixed(bytes < 10 * MB ? 1 : 0);
    const say = (name, status = "") => {
      part.said.textContent = words[name].replace("#1", mb(sent)).replace("#2", mb(total)).replace("#3", status);
    };
    const leaving = (event) => event.preventDefault();

    const send = (event) => {
      event.preventDefault();
      if (request) return;
      room.hidden = false;
      clear();
      if (!fields.some((each) => each.files.length)) { sending(false); say("empty"); return; }
      [sent, total] = [0, fields.flatMap((each) => [...each.files]).reduce((sum, file) => sum + file.size, 0)];
      sending(true);
      say("sent");
      request = new XMLHttpRequest();
      request.open("POST", form.action);
      request.setRequestHeader("Accept", "application/json");
      request.upload.addEventListener("progress", ({ loaded, lengthComputable, total: whole }) => {
        if (lengthComputable) part.bar.value = loaded / whole;
        sent = Math.min(loaded, total);
        say("sent");
      });
      request.upload.addEventListener("load", () => { part.stop.disabled = true; say("working"); });
      request.addEventListener("load", answered);
      request.addEventListener("error", () => over("lost"));
      request.addEventListener("abort", () => over("stopped"));
      request.send(new FormData(form));
    };

    const sending = (now) => {
      part.bar.hidden = part.sending.hidden = !now;
      part.stop.disabled = false;
      button.disabled = now;
      window[now ? "addEventListener" : "removeEventListener"]("beforeunload", leaving);
      if (!now) request = null;
    };

    const clear = () => {
      part.bar.value = 0;
      part.told.replaceChildren();
      part.problems.replaceChildren();
      part.problems.hidden = part.result.hidden = true;
    };

    const over = (name, status) => { sending(false); say(name, status); };

    const answered = () => {
      const { status, responseURL } = request;
      const told = json(request);
      if (!told) { over(responseURL.includes("/sign-in/") ? "out" : { 400: "many", 413: "large", 403: "out" }[status] || "failed", status); return; }
      fields.forEach((each) => { if (!told.problems.length) each.value = ""; });
      part.told.replaceChildren(...told.said.map(line));
      part.problems.replaceChildren(...told.problems.map((text) => paragraph(text)));
      part.problems.hidden = !told.problems.length;
      part.result.href = told.address;
      part.result.hidden = !told.said.length;
      over(!told.problems.length ? "done" : told.said.length ? "partly" : "nothing");
    };

    const json = (answer) => {
      if (!answer.getResponseHeader("Content-Type")?.startsWith("application/json")) return null;
      return JSON.parse(answer.responseText);
    };

    const paragraph = (text) => Object.assign(document.createElement("p"), { textContent: text });

    const line = ({ name, text, ask }) => {
      const shown = document.createElement("li");
      const tell = (said) => { shown.textContent = name ? `${name}: ${said}` : said; };
      tell(text);
      if (ask) askAgain(tell, ask);
      return shown;
    };

    // a long recording is heard in the background: its line says so, and then what it says
    const askAgain = async (tell, address) => {
      for (let silent = 0; silent < MOST_SILENT;) {
        await new Promise((done) => { setTimeout(done, ASK_AGAIN_MS); });
        const answer = await fetch(address, { headers: { Accept: "application/json" } }).catch(() => null);
        const said = answer?.ok && (await answer.json()).said[0];
        if (said && !said.ask) { tell(said.text); return; }
        if (answer && !answer.ok) return;
        silent = answer ? 0 : silent + 1;
      }
      tell(words.silent);
    };

    form.addEventListener("submit", send);
    part.stop.addEventListener("click", () => request?.abort());
  };

  document.querySelectorAll("form[data-upload]").forEach(prepare);
})();
