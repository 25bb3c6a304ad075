//! Images as files.

use egui::ColorImage;

/// An image as the bytes of a PNG file.
pub(crate) fn encoded(image: &ColorImage) -> Result<Vec<u8>, png::EncodingError> {
    let [width, height] = image.size;
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width as u32, height as u32);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    let mut writer = encoder.write_header()?;
    let pixels: Vec<u8> = image.pixels.iter().flat_map(|pixel| [pixel.r(), pixel.g(), pixel.b()]).collect();
    writer.write_image_data(&pixels)?;
    writer.finish()?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::Color32;

    #[test]
    fn a_picture_holds_the_pixels_it_was_made_from() {
        let pixels = vec![Color32::RED, Color32::from_rgb(1, 2, 3)];
        let bytes = encoded(&ColorImage::new([2, 1], pixels)).expect("it is written");
        let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().expect("it is a PNG");
        let mut found = vec![0; reader.output_buffer_size().expect("it is small")];
        reader.next_frame(&mut found).expect("it has a frame");
        assert_eq!((reader.info().size(), found.as_slice()), ((2, 1), [255, 0, 0, 1, 2, 3].as_slice()));
    }
}
