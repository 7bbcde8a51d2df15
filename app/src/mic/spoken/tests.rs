use super::samples::MOST_ROOM;
use super::*;
use crate::mic::StreamFormat;

fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../recordings-demo")
        .join(name)
}

fn each(ms: u64) -> Pace {
    Pace::EachRead(Duration::from_millis(ms))
}

#[test]
fn a_file_comes_at_its_own_rate_and_channels_between_stretches_of_the_room() {
    let path = demo("37-bean.wav");
    let own: Vec<i16> = hound::WavReader::open(&path)
        .unwrap()
        .into_samples()
        .map(Result::unwrap)
        .collect();
    let mut mic = SpokenFiles::new(vec![path])
        .paced(each(50))
        .after(Duration::from_millis(100));
    let (mut capture, mut got) = (mic.open(None), Vec::new());
    let steps = own.len() / 2 / 2205 + 10;
    for _ in 0..steps {
        let flow = capture.read(&mut got);
        let format = StreamFormat {
            rate: 44_100,
            channels: 2,
            bits: Some(16),
        };
        assert_eq!(flow, Flow::Running(format));
    }
    assert_eq!(got.len(), steps * 2205 * 2);
    let heard = &got[4410 * 2..][..own.len()];
    assert!(heard.iter().zip(&own).all(|(a, b)| *a == f32::from(*b) / 32_768.0));
    let room = &got[..4410 * 2];
    let rms = (room.iter().map(|x| x * x).sum::<f32>() / room.len() as f32).sqrt();
    assert!(rms > 0.0 && rms < MOST_ROOM, "{rms}");
}

#[test]
fn a_noisy_room_is_heard_before_the_word_and_under_it() {
    let mut mic = SpokenFiles::new(vec![demo("34-nothing.wav")])
        .paced(each(1000))
        .in_room(-40.0);
    let (mut capture, mut got) = (mic.open(None), Vec::new());
    capture.read(&mut got);
    capture.read(&mut got);
    for half in got.chunks(8_000) {
        let rms = (half.iter().map(|x| x * x).sum::<f32>() / half.len() as f32).sqrt();
        assert!((20.0 * rms.log10() + 40.0).abs() < 1.0, "{rms}");
    }
}

#[test]
fn what_came_before_the_plug_was_pulled_is_there() {
    let mic = SpokenFiles::new(vec![demo("01-goat.wav")]).paced(each(30));
    let mut mic = mic.failing(Duration::from_millis(100), MicFault::Unplugged);
    let (mut capture, mut got) = (mic.open(None), Vec::new());
    let flows: Vec<Flow> = (0..4).map(|_| capture.read(&mut got)).collect();
    assert!(flows[..3].iter().all(|f| matches!(f, Flow::Running(_))));
    assert_eq!((flows[3].clone(), got.len()), (Flow::Lost(MicFault::Unplugged), 1600));
}

#[test]
fn each_opening_speaks_the_next_file_and_a_bad_file_is_named() {
    let files = vec![demo("01-goat.wav"), demo("37-bean.wav"), demo("gone.wav")];
    let mut mic = SpokenFiles::new(files).paced(each(20));
    let mut rate = |device: Option<&str>| match mic.open(device).read(&mut Vec::new()) {
        Flow::Running(format) => Ok(format.rate),
        other => Err(other),
    };
    assert_eq!((rate(None), rate(None)), (Ok(16_000), Ok(44_100)));
    let Err(Flow::Lost(MicFault::File(line))) = rate(None) else {
        panic!("a missing file was played")
    };
    assert!(line.contains("gone.wav"), "{line}");
    assert_eq!(
        rate(Some("elsewhere.wav")),
        Err(Flow::Lost(MicFault::NotThere("elsewhere.wav".into())))
    );
}

#[test]
fn a_folder_is_spoken_in_order_and_an_empty_one_is_refused() {
    let mut mic = SpokenFiles::from_path(&demo("")).unwrap();
    assert!(
        mic.files[0].ends_with("01-goat.wav") && mic.files.len() == 38,
        "{:?}",
        mic.files
    );
    assert!(matches!(mic.open(None).read(&mut Vec::new()), Flow::Running(_)));
    assert!(SpokenFiles::from_path(&demo("../dsp/weights")).is_err());
    assert!(SpokenFiles::from_path(&demo("nowhere")).is_err());
}
