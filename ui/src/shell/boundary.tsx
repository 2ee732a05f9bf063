/* A fault on one page leaves the rest usable and says what to do. */
import { Component, type ComponentChildren } from "preact";
import { t } from "../base/words";

export class Boundary extends Component<{ at: string; children: ComponentChildren }, { fault: string | null; at: string }> {
  override state = { fault: null as string | null, at: "" };

  static override getDerivedStateFromError(error: unknown) {
    return { fault: error instanceof Error ? error.message : String(error) };
  }

  override componentDidUpdate() {
    if (this.state.fault !== null && this.state.at === "") this.setState({ at: this.props.at });
    else if (this.state.fault !== null && this.state.at !== this.props.at) this.setState({ fault: null, at: "" });
  }

  override render() {
    if (this.state.fault === null) return this.props.children;
    return (
      <div class="empty" role="alert">
        <p class="empty-title">{t("ui.fault.title")}</p>
        <p>{t("ui.fault.do")}</p>
        <p class="code small">{this.state.fault}</p>
        <div class="actions">
          <button type="button" class="act" onClick={() => location.reload()}>{t("ui.fault.again")}</button>
        </div>
      </div>
    );
  }
}
