#[test]
fn scratch() {
    for path in std::env::var("FILES")
        .unwrap_or_default()
        .split_whitespace()
    {
        let text = std::fs::read_to_string(path).unwrap();
        let reading = super::read_text(&text);
        let source = ampkeel::span::CircuitText::new("", text);
        eprintln!("== {path} circuit {}", reading.circuit.is_some());
        for f in &reading.findings {
            let (l, c) = source.line_column(f.labels[0].span.start);
            eprintln!(
                "{l}:{c} {}[{}] {}\n     hint {:?}",
                f.severity().word(),
                f.code.name(),
                f.statement,
                f.hint
            );
        }
    }
}
