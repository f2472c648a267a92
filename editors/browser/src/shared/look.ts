// How a page looks to this user: dark or light, and large type.

const KEPT = "bellhand:look";
const THEMES = ["system", "light", "dark"] as const;
type Theme = (typeof THEMES)[number];

interface Look {
  theme: Theme;
  large: boolean;
}

function kept(): Look {
  const look: Look = { theme: "system", large: false };
  try {
    const { theme, large } = JSON.parse(localStorage.getItem(KEPT) ?? "{}") as Partial<Look>;
    look.theme = THEMES.find((one) => one === theme) ?? "system";
    look.large = large === true;
  } catch {
    // What cannot be read was not kept.
  }
  return look;
}

/** Lets two controls of the page say how it looks, now and the next time. */
export function chooseLook(theme: HTMLSelectElement, large: HTMLButtonElement): void {
  const look = kept();
  const apply = () => {
    const { dataset } = document.documentElement;
    dataset["theme"] = look.theme;
    dataset["large"] = String(look.large);
    theme.value = look.theme;
    large.setAttribute("aria-pressed", String(look.large));
    try {
      localStorage.setItem(KEPT, JSON.stringify(look));
    } catch {
      // It holds for now, then.
    }
  };
  theme.addEventListener("change", () => {
    look.theme = THEMES.find((one) => one === theme.value) ?? "system";
    apply();
  });
  large.addEventListener("click", () => {
    look.large = !look.large;
    apply();
  });
  apply();
}
