// Spares waiting and typing; every page works without it.
"use strict";
(function () {
  // A busy store: send the form again by itself, a few times.
  const again = document.querySelector("form[data-retry]");
  if (again) setTimeout(function () { again.requestSubmit(); }, 2500);

  const copy = document.querySelector("button[data-copy]");
  if (copy && navigator.clipboard) {
    copy.hidden = false;
    copy.addEventListener("click", async function () {
      await navigator.clipboard.writeText(document.getElementById(copy.dataset.copy).textContent);
      copy.textContent = "Copied";
    });
  }

  const back = document.querySelector("a[data-back]");
  if (back && document.referrer && history.length > 1) {
    back.textContent = "Back";
    back.addEventListener("click", function (event) { event.preventDefault(); history.back(); });
  }

  // Goods in: ask for the decision while sizes are typed, and carry them into the recording form.
  const judge = document.querySelector("form[data-judge]");
  const record = document.querySelector("form[data-record]");
  if (judge && record) {
    const place = document.getElementById("decision");
    let timer = 0, latest = 0;
    const fields = function () { return judge.querySelectorAll("input[name]"); };
    judge.addEventListener("input", function () {
      clearTimeout(timer);
      timer = setTimeout(ask, 350);
    });
    const ask = async function () {
      const mine = ++latest;
      const query = new URLSearchParams(new FormData(judge));
      query.set("only", "decision");
      try {
        const answer = await fetch(judge.action + "?" + query, { headers: { accept: "text/html" } });
        const text = await answer.text();
        if (mine === latest && answer.ok) place.innerHTML = text;
      } catch (error) {
        place.textContent = "The page did not answer. Press Judge it.";
      }
    };
    // What was typed before this script was there counts too.
    if ([...fields()].some(function (field) { return field.value !== field.defaultValue; })) ask();
    record.addEventListener("submit", function () {
      fields().forEach(function (field) {
        let kept = record.querySelector('input[type=hidden][name="' + field.name + '"]');
        if (!kept) {
          kept = document.createElement("input");
          kept.type = "hidden";
          kept.name = field.name;
          record.append(kept);
        }
        kept.value = field.value;
      });
    });
  }

  // A file on its way: show how much of it is sent.
  const send = document.querySelector("form[data-send]");
  if (send) {
    send.addEventListener("submit", function (event) {
      event.preventDefault();
      const shown = send.querySelector(".sending"), bar = send.querySelector("progress");
      shown.hidden = false;
      const request = new XMLHttpRequest();
      request.open("POST", send.action);
      request.upload.onprogress = function (e) { if (e.lengthComputable) bar.value = 100 * e.loaded / e.total; };
      request.onload = function () {
        if (request.status < 400 && request.responseURL) { location.assign(request.responseURL); return; }
        const page = new DOMParser().parseFromString(request.responseText, "text/html");
        const main = page.querySelector("main");
        if (main) document.querySelector("main").replaceWith(main); else shown.textContent = request.responseText;
      };
      request.onerror = function () { shown.textContent = "Sending failed. Try again."; };
      request.send(new FormData(send));
    });
  }
})();
