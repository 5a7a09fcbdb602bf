// How sure a date is: asked again whenever the date or the milestone is changed.

let asked = 0;

// The day so many days after the first one; days are counted in UTC, where each has 24 hours.
function dayAfter(first: string, days: number): string {
  const day = new Date(`${first}T00:00:00Z`);
  day.setUTCDate(day.getUTCDate() + days);
  return day.toISOString().slice(0, 10);
}

async function ask(form: HTMLFormElement): Promise<void> {
  const said = form.querySelector("output");
  const held = new FormData(form);
  const [milestone, day] = [held.get("milestone"), held.get("day")];
  if (!said || typeof milestone !== "string" || typeof day !== "string" || !day) return;
  const mine = ++asked;
  const answer = await fetch(`/chance?${new URLSearchParams({ milestone, day }).toString()}`);
  const body = (await answer.json()) as { said?: string };
  // What was asked meanwhile has its own answer.
  if (mine === asked) said.textContent = body.said ?? "That is no date.";
}

function onInput(event: Event): void {
  const control = event.target instanceof HTMLElement ? event.target : null;
  const form = control?.closest<HTMLFormElement>("form[data-chance]");
  if (!form) return;
  if (control instanceof HTMLInputElement && control.type === "range") {
    const day = form.querySelector<HTMLInputElement>("input[type=date]");
    if (day) day.value = dayAfter(control.dataset["first"] ?? "", Number(control.value));
  }
  void ask(form).catch(() => {
    const said = form.querySelector("output");
    if (said) said.textContent = "sixwright cannot be reached.";
  });
}

function onSubmit(event: SubmitEvent): void {
  if (event.target instanceof HTMLFormElement && "chance" in event.target.dataset) {
    event.preventDefault();
  }
}

export function startChance(): void {
  document.addEventListener("input", onInput);
  document.addEventListener("submit", onSubmit);
}
