//! Finding something that draws: a graphics card if there is one, otherwise the software driver.

use crate::remark::{Refusal, Remark};

/// A device with its queue, and the name of what it runs on.
#[derive(Debug)]
pub struct Gpu {
    /// What was asked for windows and adapters.
    pub instance: wgpu::Instance,
    /// What draws.
    pub adapter: wgpu::Adapter,
    /// Its resources.
    pub device: wgpu::Device,
    /// Its work.
    pub queue: wgpu::Queue,
}

/// Which adapters will do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Choice {
    /// A graphics card before the software driver.
    Any,
    /// The software driver only, so that every machine draws the same pixels.
    Software,
}

impl Gpu {
    /// Opens a device without a window.
    ///
    /// # Errors
    /// One sentence with what to install, when no driver is there.
    pub fn headless(choice: Choice) -> Result<Self, Refusal> {
        let mut wanted = wgpu::InstanceDescriptor::new_without_display_handle();
        wanted.backends = wgpu::Backends::VULKAN | wgpu::Backends::GL;
        let instance = wgpu::Instance::new(wanted);
        Self::open(instance, None, choice)
    }

    /// Opens a device that can draw on `surface`, when one is given.
    ///
    /// # Errors
    /// One sentence with what to install, when no driver is there.
    pub fn open(
        instance: wgpu::Instance,
        surface: Option<&wgpu::Surface<'_>>,
        choice: Choice,
    ) -> Result<Self, Refusal> {
        let options = wgpu::RequestAdapterOptions {
            power_preference: wgpu::PowerPreference::HighPerformance,
            force_fallback_adapter: choice == Choice::Software,
            compatible_surface: surface,
            ..Default::default()
        };
        let adapter = pollster::block_on(instance.request_adapter(&options)).map_err(|_| Self::missing())?;
        let (device, queue) = pollster::block_on(adapter.request_device(&wgpu::DeviceDescriptor {
            label: Some("chalklight"),
            // The device's own clock, where it has one: benches read it.
            required_features: adapter.features() & wgpu::Features::TIMESTAMP_QUERY,
            required_limits: adapter.limits(),
            ..Default::default()
        }))
        .map_err(|_| Self::missing())?;
        Ok(Self { instance, adapter, device, queue })
    }

    /// A buffer with these contents. One that a lost device can't give stays empty: whoever draws is told of the loss.
    pub fn buffer(&self, label: &str, contents: &[u8], usage: wgpu::BufferUsages) -> wgpu::Buffer {
        let size = (contents.len() as u64).next_multiple_of(wgpu::COPY_BUFFER_ALIGNMENT);
        let buffer = self.device.create_buffer(&wgpu::BufferDescriptor {
            label: Some(label),
            size,
            usage,
            mapped_at_creation: true,
        });
        if let Ok(mut mapped) = buffer.get_mapped_range_mut(..) {
            mapped.slice(..contents.len()).copy_from_slice(contents);
        }
        buffer.unmap();
        buffer
    }

    /// What is said when nothing can draw.
    pub fn missing() -> Refusal {
        Refusal::because(Remark::refusal("No graphics driver was found, so nothing can be drawn").remedy(
            "install mesa-vulkan-drivers (sudo apt install mesa-vulkan-drivers) or your graphics card's driver",
        ))
    }

    /// The adapter's name and driver, for people.
    pub fn name(&self) -> String {
        let info = self.adapter.get_info();
        if info.driver_info.is_empty() { info.name } else { format!("{}, {}", info.name, info.driver_info) }
    }
}
