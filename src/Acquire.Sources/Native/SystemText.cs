using System.Runtime.InteropServices;

namespace Acquire.Sources.Native;

/// <summary>The system's words for an error number.</summary>
internal static class SystemText
{
    public static string Of(int errno) => Marshal.GetPInvokeErrorMessage(errno);
}
