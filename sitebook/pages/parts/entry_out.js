// Hands the entries out: as a file, as a copy, on paper; and warns before they would be lost.
"use strict";
(() => {
  const { data, element, button } = sitebook;

  const save = () => {
    const text = sitebook.whole();
    const link = element("a");
    link.download = data.file;
    let address = null;
    try {
      address = URL.createObjectURL(new Blob([text], { type: "application/x-ndjson" }));
      link.href = address;
    } catch {
      link.href = `data:application/x-ndjson;charset=utf-8,${encodeURIComponent(text)}`;
    }
    document.body.append(link);
    link.click();
    link.remove();
    if (address) setTimeout(() => URL.revokeObjectURL(address), 60000);
    sitebook.markSaved();
    draw();
    sitebook.say(`Saved as ${data.file}. Look that it is in your downloads.`);
  };

  const copied = (box) => {
    box.focus();
    box.select();
    try {
      return document.execCommand("copy");
    } catch {
      return false;
    }
  };

  const copy = async (box) => {
    box.value = sitebook.whole();
    let done = false;
    try {
      await navigator.clipboard.writeText(box.value);
      done = true;
    } catch {
      done = copied(box);
    }
    sitebook.say(done ? "Copied. Paste it into a message to yourself, or into an empty text file." : "Copy the text in the box by hand.");
  };

  const print = (what) => {
    if (what) document.body.classList.add(what);
    window.print();
    document.body.classList.remove("print-empty", "print-day");
  };

  const draw = () => {
    const waiting = sitebook.unsaved();
    const box = element("textarea", "lines");
    box.readOnly = true;
    box.rows = 5;
    box.setAttribute("aria-label", "all entries as text");
    box.value = sitebook.lines.join("\n");
    const beyond = sitebook.keepsBeyond
      ? "This browser also remembers the entries when the page is closed, but do not rely on that: save."
      : "This browser forgets the entries when the page is closed: save before you close it.";
    const numbers = data.numbers ? `Numbers of this sheet: ${data.collector.initials} ${data.numbers[0]} to ${data.numbers[1]}; next: ${sitebook.nextNumber() || "none left"}.` : "This sheet has no numbers of its own.";
    sitebook.pane("out").replaceChildren(
      sitebook.head(waiting ? `${waiting} not saved yet` : "Everything is saved"),
      element("p", "", beyond),
      button("Save the entries as a file", "main", save),
      button("Copy the entries", "wide", () => copy(box)),
      button("Print the entries", "wide", () => print(null)),
      ...(data.afield ? [button("Print the day", "wide", () => print("print-day"))] : []),
      button("Print the empty form", "wide", () => print("print-empty")),
      element("p", "", `At home: sitebook import ${data.file}`),
      element("p", "quiet", numbers),
      element("h3", "", "The entries as text"),
      box,
    );
  };
  sitebook.drawOut = draw;

  addEventListener("beforeunload", (event) => {
    if (!sitebook.unsaved()) return;
    event.preventDefault();
    event.returnValue = "";
  });
})();
