//! The pages in a real browser, opened from files, with no network.
//!
//! Where none is installed these tests say how many were skipped; with
//! `AMPKEEL_NEEDS_BROWSER` in the environment they fail instead.

use super::page::hostile_page;
use super::{BOATS, boat, folder, page};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Tests skipped so far.
static SKIPPED: AtomicUsize = AtomicUsize::new(0);

/// What browsers are called.
const NAMES: [&str; 3] = ["chromium", "chromium-browser", "google-chrome"];

/// What a browser made of a page.
pub(super) struct Shown {
    /// The page after its script ran.
    pub dom: String,
    /// What it had to say on its console.
    pub console: Vec<String>,
}

pub(super) fn browser() -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    let folders: Vec<PathBuf> = std::env::split_paths(&path).collect();
    let all = NAMES
        .iter()
        .flat_map(|name| folders.iter().map(move |folder| folder.join(name)));
    all.into_iter().find(|file| file.is_file())
}

/// Whether a browser is there; says so where one is missing.
pub(super) fn there(test: &str) -> bool {
    let found = browser().is_some();
    if !found {
        assert!(
            std::env::var_os("AMPKEEL_NEEDS_BROWSER").is_none(),
            "no browser: apt-get install chromium"
        );
        let so_far = SKIPPED.fetch_add(1, Ordering::Relaxed) + 1;
        // Past the capture of test output, so that a plain run says it.
        let told = writeln!(
            std::io::stderr(),
            "no browser is installed, {so_far} tests skipped: {test}"
        );
        drop(told);
    }
    found
}

fn open(address: &str, folder: &Path, width: u32, more: &[&str]) -> std::process::Output {
    Command::new(browser().expect("a browser"))
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--hide-scrollbars",
        ])
        .args([
            "--host-resolver-rules=MAP * ~NOTFOUND",
            "--disable-extensions",
        ])
        .args([
            "--enable-logging=stderr",
            "--v=0",
            "--virtual-time-budget=2000",
        ])
        .arg(format!(
            "--user-data-dir={}",
            folder.join("profile").display()
        ))
        .arg(format!("--window-size={width},900"))
        .args(more)
        .arg(address)
        .output()
        .expect("the browser runs")
}

/// Opens a page and hands back what became of it.
pub(super) fn shown(page: &Path, fragment: &str, width: u32) -> Shown {
    let folder = page.parent().expect("folder");
    let address = format!("file://{}{fragment}", page.display());
    let output = open(&address, folder, width, &["--dump-dom"]);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    let console = said.lines().filter(|line| line.contains("CONSOLE"));
    Shown {
        dom: String::from_utf8_lossy(&output.stdout).into_owned(),
        console: console.map(str::to_owned).collect(),
    }
}

/// A copy of a page with a probe in it, and without the rule that forbids such.
fn probed(page: &Path, probe: &str) -> PathBuf {
    let text = std::fs::read_to_string(page).expect("page");
    let start = text.find("<meta http-equiv=").expect("a policy");
    let end = start + text[start..].find('>').expect("its end") + 1;
    let mut text = format!("{}{}", &text[..start], &text[end..]);
    let close = text.rfind("</body>").expect("a body");
    text.insert_str(close, &format!("<script>{probe}</script>"));
    let copy = page.with_extension("probed.html");
    std::fs::write(&copy, text).expect("written");
    copy
}

/// What a probe finds in a page of a width. The page lies in a frame, since a
/// browser's own window cannot be as narrow as a phone.
fn found(page: &Path, probe: &str, width: u32) -> String {
    let probe = format!(
        "let f;try{{f=(function(){{{probe}}})()}}catch(e){{f='error '+e}}parent.postMessage(f,'*')"
    );
    let inner = probed(page, &probe);
    let frame = page.with_extension("frame.html");
    let text = format!(
        "<!DOCTYPE html><html><body><script>addEventListener('message',e=>{{document.documentElement.dataset.found=e.data}})</script><iframe style='width:{width}px;height:900px;border:0' src='{}'></iframe></body></html>",
        inner.file_name().expect("a name").to_string_lossy()
    );
    std::fs::write(&frame, text).expect("written");
    let dom = shown(&frame, "", 1400).dom;
    let after = dom.split("data-found=\"").nth(1);
    let after = after.unwrap_or_else(|| panic!("{}: nothing found", page.display()));
    after.split('"').next().unwrap_or("").to_owned()
}

#[test]
fn every_page_opens_without_a_word_on_the_console() {
    if !there("console") {
        return;
    }
    let folder = folder("console");
    let pages = BOATS.iter().map(|name| page(&boat(name), &folder));
    for page in pages.chain([hostile_page(&folder)]) {
        let shown = shown(&page, "", 1000);
        assert!(shown.dom.contains("</html>"), "{}", page.display());
        assert!(
            shown.console.is_empty(),
            "{}: {:?}",
            page.display(),
            shown.console
        );
        assert!(!shown.dom.contains("<title>owned"));
    }
}

#[test]
fn choosing_a_state_shows_it_alone_and_needs_no_script() {
    if !there("states") {
        return;
    }
    let folder = folder("states");
    for name in BOATS {
        let page = page(&boat(name), &folder);
        let probe = "const n=document.querySelectorAll('input[name=state]').length,out=[];\
            for(let i=0;i<n;i++){document.getElementById('st'+i).click();\
            const seen=[];for(let k=0;k<n;k++){const g=document.querySelector('#diagram .s'+k),t=document.querySelector('p .s'+k);\
            if(getComputedStyle(g).display!=='none'&&getComputedStyle(t).display!=='none')seen.push(k)}\
            out.push(i+':'+seen.join(','))}\
            return out.every((o,i)=>o===i+':'+i)?'each alone':out.join(' ')";
        assert_eq!(found(&page, probe, 1000), "each alone", "{name}");
    }
}

#[test]
fn words_stand_out_from_their_ground_in_light_and_dark() {
    if !there("contrast") {
        return;
    }
    let folder = folder("contrast");
    let page = page(&boat("schist-console-boat"), &folder);
    // Relative luminance and contrast as WCAG 2.2 defines them.
    let probe = "const lum=c=>{const v=c.match(/[\\d.]+/g).slice(0,3).map(x=>{x/=255;return x<=0.04045?x/12.92:Math.pow((x+0.055)/1.055,2.4)});return 0.2126*v[0]+0.7152*v[1]+0.0722*v[2]};\
        const ground=e=>{for(;e;e=e.parentElement){const b=getComputedStyle(e).backgroundColor;if(b!=='rgba(0, 0, 0, 0)')return b}return 'rgb(255,255,255)'};\
        document.querySelectorAll('details').forEach(d=>d.open=true);\
        const bad=[];let n=0;for(const e of document.body.querySelectorAll('p,li,td,th,a,code,strong,span,label,h1,h2,h3,h4,output,input[type=text],svg text')){\
        const own=Array.from(e.childNodes).some(c=>c.nodeType===3&&c.data.trim());if(!own&&e.tagName!=='INPUT')continue;\
        const s=getComputedStyle(e);const c=e.closest('svg')?s.fill:s.color;const a=lum(c),b=lum(ground(e));\
        const r=(Math.max(a,b)+0.05)/(Math.min(a,b)+0.05);n++;if(r<4.5)bad.push(e.tagName+'.'+e.className.baseVal+' '+c+' '+r.toFixed(2))}\
        return (n>500?'many':'few '+n)+' '+Array.from(new Set(bad)).slice(0,4).join('; ')";
    assert_eq!(found(&page, probe, 1000), "many ");
    let dark = page.with_extension("dark.html");
    let text = std::fs::read_to_string(&page).expect("page");
    std::fs::write(&dark, text.replace("(prefers-color-scheme:dark)", "all")).expect("written");
    assert_eq!(found(&dark, probe, 1000), "many ");
}

#[test]
fn lettering_of_the_diagram_fits_the_room_that_was_kept_for_it() {
    if !there("lettering") {
        return;
    }
    let folder = folder("lettering");
    for name in BOATS {
        let page = page(&boat(name), &folder);
        let probe = "const n=document.querySelectorAll('input[name=state]').length,bad=[];\
            for(let i=0;i<n;i++){document.getElementById('st'+i).click();\
            const all=Array.from(document.querySelectorAll('#diagram text')).filter(t=>t.getClientRects().length&&!t.classList.contains('lt')).map(t=>[t.textContent,t.getBBox()]);\
            for(let a=0;a<all.length;a++)for(let b=a+1;b<all.length;b++){const p=all[a][1],q=all[b][1],e=2.5;\
            if(p.x+e<q.x+q.width&&q.x+e<p.x+p.width&&p.y+e<q.y+q.height&&q.y+e<p.y+p.height)bad.push(all[a][0]+' on '+all[b][0])}}\
            return bad.slice(0,3).join('; ')||'clear'";
        assert_eq!(found(&page, probe, 1000), "clear", "{name}");
    }
}
